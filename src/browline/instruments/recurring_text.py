"""What questioned readings teach, in a nurse's words, and what they cannot teach.

The refusal stands on every page and sheet: an instrument's error is never worked out from readings that were taken
because something had gone wrong.
"""

from collections.abc import Mapping
from enum import Enum

from browline import display
from browline.instruments.causes import FEWEST_LINES, Counted, Pareto
from browline.instruments.questioned import CAUSES, NOT_FOUND
from browline.instruments.recurring import FEWEST, TIMES_EXPECTED, Basis, Outcome, Recurrence, Recurring
from browline.quantities import fahrenheit_difference


class Bias(Enum):
    """How far an instrument reads off, from questioned readings: there is one answer."""

    NOT_FROM_THESE = "not estimated: questioned readings cannot tell how far an instrument reads off"


REFUSAL = (
    "How far an instrument reads off is not worked out from these lines, and cannot be. People read again because "
    "something had gone wrong, so what stands here was picked for disagreeing: in 80,065 quick pairs of charted "
    "readings, every type of thermometer broke ±0.5 °C (±0.9 °F) more than two-fold. Ask for planned side-by-side "
    "pairs, taken whether or not anybody doubts, or for a check against a reference on a bench."
)
REFUSAL_SOURCE = (
    "medRxiv 10.1101/2020.11.24.20237958, read as an abstract; its authors were paid by a maker of thermometers, the "
    "argument stands without them."
)

CANNOT_SAY = (
    "Only what somebody logged is here: a share is of lines, not of all readings.",
    "Nothing says which lines are about one patient; several may be.",
    "A cause is what was found at the bedside, not what was proved.",
    "An instrument that serves patients whose readings are doubted more often stands out as well: that is why it is "
    "checked, not judged.",
)
BASIS_SAID: dict[Basis, str] = {
    Basis.READINGS: "Measured by the readings charted with each instrument.",
    Basis.INSTRUMENTS: "The charts do not say how often each instrument is used, so each counts alike; one that is "
    "used more stands out for that alone.",
}


def rule(weeks: int, false_share: float, tolerance_c: float) -> str:
    """The rule by which an instrument is named, in full."""
    return (
        f"An instrument is named when, in {weeks} weeks or since its last check within limits, {FEWEST} or more of its "
        f"readings were questioned, at least {TIMES_EXPECTED:g} times its even part, and so many that chance would "
        f"hardly bring them: of those named at most "
        f"{display.in_a_hundred(false_share)} are expected to be there by chance. "
        "A reading "
        f"counts as questioned when it lay more than {tolerance_c:g} °C "
        f"({display.decimal(fahrenheit_difference(tolerance_c))} °F) "
        "from the one accepted, or when none was."
    )


def recurrence_sentence(row: Recurrence, weeks: int) -> str:
    """One instrument's count beside what an even fall would bring."""
    times = f"{row.questioned} time{'' if row.questioned == 1 else 's'}"
    text = f"Questioned {times} in {weeks} weeks or since its last check within limits"
    if row.expected is None or row.p is None:
        return f"{text}; {row.outcome.value}."
    return f"{text}; about {display.decimal(row.expected)} would be its even part{_by_chance(row)}."


def _by_chance(row: Recurrence) -> str:
    if row.outcome is not Outcome.RECURS or not row.p:
        return ""
    rare = f"{'fewer than' if row.p < 1e-3 else 'about'} 1 of {display.number(min(1_000, int(1 / row.p)))}"
    return f"; so many come to any one instrument by chance in {rare} such periods"


def overall_sentence(recurring: Recurring) -> str:
    """What can be said of all instruments at once."""
    if recurring.flagged:
        names = ", ".join(row.instrument for row in recurring.flagged)
        return f"To check: {names}. {recurring.flagged[0].advice}"
    few = [row for row in recurring.instruments if row.outcome is Outcome.TOO_FEW]
    if not recurring.compared or few:
        total, compared = recurring.total, recurring.compared
        n = f"{total} questioned reading{'' if total == 1 else 's'}"
        return (
            f"Too few to tell: with {n} of {compared} instruments in service none stands out, and one that is "
            "questioned five times as often as the others could still be missed."
        )
    return "No instrument was questioned more often than chance would bring."


def headline(causes: Pareto) -> str:
    """What the causes say, in one sentence."""
    if causes.outcome is Counted.TOO_FEW:
        return f"Fewer than {FEWEST_LINES} lines: too few to count the causes out. Go on logging."
    first = causes.bars[0]
    if causes.outcome is Counted.NO_LEADER or not first.cause:
        return f"{causes.total} lines: too few to say which cause is the commonest."
    opening = (
        "Most often the cause was not found"
        if first.cause == NOT_FOUND
        else f"The commonest cause is “{CAUSES[first.cause]}”"
    )
    return (
        f"{opening}: {first.n} of {causes.total} lines, {_per_cent(first.share)} "
        f"(likely range {_per_cent(first.low)} to {_per_cent(first.high)})."
    )


def cause_words(counts: Mapping[str, int]) -> str:
    """The causes found with one instrument, commonest first, without their small counts."""
    ordered = sorted(counts, key=lambda cause: (-counts[cause], cause))
    return f"Causes found with it: {', '.join(CAUSES[cause] for cause in ordered)}." if ordered else ""


def _per_cent(share: float) -> str:
    return display.percent(share)
