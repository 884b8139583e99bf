"""What the log of questioned readings teaches: causes counted out, and instruments to check.

    learned(book, now, weeks=52) -> Learned          asks(book, now) -> what Today asks for

How far an instrument reads off is refused (`Bias`): planned pairs or a bench check can tell, these lines cannot.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TypedDict

from browline.instruments import (
    Basis,
    Checked,
    Pareto,
    Questioned,
    Recurring,
    out_of_limits,
    pareto,
    recurring,
    reportable_wards,
)
from browline.instruments.causes import FEWEST_OF_A_CAUSE
from browline.instruments.recurring import ADVICE, FEWEST, Outcome
from browline.instruments.recurring_text import Bias, cause_words, recurrence_sentence
from browline.quantities import celsius
from browline.services.book.clock import local_day
from browline.services.book.preferences import choice
from browline.services.instruments.charts import charted_since, charts_end
from browline.services.questioned.log import standing_lines
from browline.store.folder import Book
from browline.store.models import Check, Instrument, QuestionedReading
from browline.weeks import monday_of

RECUR_WEEKS = 13
PERIODS: dict[int, str] = {13: "13 weeks", 26: "26 weeks", 52: "52 weeks"}
# Charts older than this say too little about how much each instrument is used now.
CHARTS_OLD = timedelta(weeks=26)


@dataclass(frozen=True)
class Ask:
    """An instrument to check: what stands out, what was found with it, and the one thing to do."""

    instrument: str
    what: str
    causes: str
    action: str


@dataclass(frozen=True)
class Learned:
    """What a period teaches.

    - `first` (a Monday) to `last`; `lines` that count, and how many were `taken_back`.
    - `causes`: of the whole hospital; `wards`: of each ward that may be shown alone; `elsewhere`: lines of the others.
    - `done`: lines in which each thing was done, small numbers left out.
    - `instruments`: over the last `RECUR_WEEKS` weeks; `asks`: those that recur. `bias`: the one answer there is.
    """

    first: date
    last: date
    lines: int
    taken_back: int
    causes: Pareto
    wards: tuple[tuple[str, Pareto], ...]
    elsewhere: int
    done: Mapping[str, int]
    instruments: Recurring
    asks: tuple[Ask, ...]
    bias: Bias = Bias.NOT_FROM_THESE


class ValueRow(TypedDict):
    """One value of a line as it is kept."""

    site: str
    value: float
    unit: str
    instrument: str


def learned(book: Book, now: datetime, weeks: int = 52) -> Learned:
    """Everything that the last `weeks` weeks of the log teach; `now` in the hospital's zone."""
    today = now.date()
    first = _first(today, weeks)
    lines = list(standing_lines(first))
    wards = Counter(line.ward for line in lines)
    reportable = reportable_wards(wards)
    recurring = _recurring(book, today, (recent := list(standing_lines(_first(today, RECUR_WEEKS)))))
    return Learned(
        first=first,
        last=today,
        lines=len(lines),
        taken_back=QuestionedReading.objects.filter(week__gte=first).exclude(taken_back=None).count(),
        causes=_causes(lines),
        wards=tuple((ward, _causes(line for line in lines if line.ward == ward)) for ward in reportable),
        elsewhere=sum(n for ward, n in wards.items() if ward not in reportable),
        done=_done(lines),
        instruments=recurring,
        asks=_asks(recurring, recent),
    )


def asks(book: Book, now: datetime) -> tuple[Ask, ...]:
    """The instruments that recur, for Today; the charts are looked at only where one could."""
    today = now.date()
    lines = list(standing_lines(_first(today, RECUR_WEEKS)))
    tolerance = choice("tolerance_c")
    often = Counter(name for line in lines for name in questioned_in(line, tolerance))
    if max(often.values(), default=0) < FEWEST:
        return ()
    return _asks(_recurring(book, today, lines), lines)


def questioned_in(line: QuestionedReading, tolerance_c: float) -> set[str]:
    """The instruments whose value lay further from the one accepted than the tolerance; all, where none was accepted.

    A second instrument that agreed with what was accepted was not questioned.
    """
    values: list[ValueRow] = line.values
    read = [(value["instrument"], _celsius(value)) for value in values]
    if line.accepted is None:
        return {name for name, _ in read if name}
    accepted = read[line.accepted][1]
    # Tenths of a degree are not exact in binary: 36.6 less 36.3 is no more than 0.3.
    return {name for name, value in read if name and round(abs(value - accepted), 6) > tolerance_c}


def _celsius(value: ValueRow) -> float:
    return celsius(value["value"]) if value["unit"] == "F" else float(value["value"])


def _first(today: date, weeks: int) -> date:
    return monday_of(today) - timedelta(weeks=weeks - 1)


def _causes(lines: Iterable[QuestionedReading]) -> Pareto:
    return pareto(Counter(line.cause for line in lines))


def _done(lines: Iterable[QuestionedReading]) -> dict[str, int]:
    done = Counter(deed for line in lines for deed in line.done)
    return {deed: n for deed, n in done.most_common() if n >= FEWEST_OF_A_CAUSE}


def _recurring(book: Book, today: date, lines: Iterable[QuestionedReading]) -> Recurring:
    """The instruments judged over the last weeks, each from the week after its last check within limits on."""
    starts, tolerance = _starts(today), choice("tolerance_c")
    counts = Counter(
        name
        for line in lines
        for name in questioned_in(line, tolerance)
        if line.week >= starts.get(name, line.week)
    )
    basis, parts = _parts(book, today, starts)
    return recurring(Questioned(counts, parts, basis, choice("false_share")))


def _starts(today: date) -> dict[str, date]:
    """The first week that counts for each instrument in service: of the period, or after its last check within limits.

    A check out of limits answers no question, so it silences none.
    """
    serving = Instrument.objects.listed().lasting_beyond(today)
    first, within = _first(today, RECUR_WEEKS), _within_limits()
    return {
        name: max(first, monday_of(local_day(within[name])) + timedelta(weeks=1)) if name in within else first
        for name in serving.values_list("name", flat=True)
    }


def _within_limits() -> dict[str, datetime]:
    """When each instrument was last checked and found within limits."""
    rows = Check.objects.order_by("time").values_list(
        "instrument__name", "time", "reference", "shown", "result"
    )
    checks = (
        Checked(instrument=name, time=time, reference_c=reference, shown_c=shown, result=result)
        for name, time, reference, shown, result in rows
    )
    return {check.instrument: check.time for check in checks if not out_of_limits(check)}


def _parts(book: Book, today: date, starts: Mapping[str, date]) -> tuple[Basis, dict[str, float]]:
    """Each instrument's part of the work: readings charted with it where the charts say so of half of them."""
    weeks = {name: max(0.0, (monday_of(today) - start).days / 7 + 1) for name, start in starts.items()}
    end = charts_end(book)
    if end is not None and today - end.date() <= CHARTS_OLD:
        charted = charted_since(book, dict.fromkeys(starts, end - timedelta(weeks=RECUR_WEEKS)))
        if 2 * len(charted) >= len(starts):
            return Basis.READINGS, {name: charted.get(name, 0) * n for name, n in weeks.items()}
    return Basis.INSTRUMENTS, weeks


def _asks(recurring: Recurring, lines: Iterable[QuestionedReading]) -> tuple[Ask, ...]:
    rows = list(lines)
    return tuple(
        Ask(
            instrument.instrument,
            recurrence_sentence(instrument, RECUR_WEEKS),
            _found_with(instrument.instrument, rows),
            ADVICE[Outcome.RECURS],
        )
        for instrument in recurring.flagged
    )


def _found_with(instrument: str, lines: Iterable[QuestionedReading]) -> str:
    tolerance = choice("tolerance_c")
    return cause_words(Counter(line.cause for line in lines if instrument in questioned_in(line, tolerance)))
