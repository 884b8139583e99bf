"""Standing, coverage and refreshing in a nurse's words, as data for page, paper and terminal.

Kind words about people: "not yet" and "offer", never a mark.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from datetime import date

from browline import display
from browline.competency.cells import FEWEST, Cell, Disclosure, Suppressed
from browline.competency.coverage import EXCLUDED, UNKNOWN, Coverage, Line
from browline.competency.refresh import WEIGHTS, Reason
from browline.competency.status import Standing, Stands
from browline.shifts import KINDS

NO_STEPS = "by a record brought in (no steps recorded)"
NO_WARD, NO_ROLE, NO_KIND = "ward not said", "role not said", "any shift (no roster)"


def day(when: date) -> str:
    """A date that cannot be misread.

    >>> day(date(2026, 3, 7))
    '07 Mar 2026'
    """
    return display.day(when)


def standing_sentence(s: Standing) -> str:
    """Where somebody stands, in one sentence.

    >>> from browline.competency.status import Observed, Rule, standing
    >>> standing_sentence(standing([Observed(date(2026, 3, 7), "signed-off", False)], Rule(), date(2026, 6, 1)))
    'Signed off until 07 Mar 2027, by a record brought in (no steps recorded).'
    """
    if s.last is None:
        came = f" At a session on {day(s.attended)}; being there alone is no sign-off." if s.attended else ""
        return f"Never observed.{came}"
    if s.stands is Stands.NOT_YET or s.until is None:
        missed = f": {'; '.join(s.last.missed)} to be seen again" if s.last.missed else ""
        return f"Not yet, at the observation of {day(s.last.day)}{missed}."
    brought = "" if s.last.steps else f", {NO_STEPS}"
    if s.stands is Stands.OVERDUE:
        return f"The sign-off of {day(s.last.day)} ended on {day(s.until)}{brought}."
    soon = "; the next observation is due soon" if s.stands is Stands.DUE_SOON else ""
    return f"Signed off until {day(s.until)}{soon}{brought}."


def reason_sentence(r: Reason) -> str:
    """Why somebody should be seen again."""
    return _REASONS[r.code](r)


def _when(r: Reason) -> str:
    return day(r.day) if r.day else "a day that was not written down"


def _steps(r: Reason) -> str:
    return "; ".join(r.details) or "a critical step"


_REASONS: dict[str, Callable[[Reason], str]] = {
    "not-yet": lambda r: f"Not yet on {_when(r)}: {_steps(r)}",
    "ended": lambda r: f"The sign-off ended on {_when(r)}",
    "missed-before": lambda r: f"Needed another try: {_steps(r)} on {_when(r)}",
    "back": lambda r: f"Back on {_when(r)} from {r.number} days away, and not observed since",
    "ward": lambda r: f"The charts of the ward ask for a look: {'; '.join(r.details)}",
    "few-duties": lambda r: (
        f"{r.number or 'No'} turn{'' if r.number == 1 else 's'} of duty in the last four weeks"
    ),
    "first-year": lambda r: f"The look due in the first year since {_when(r)} has not been taken",
    "ends": lambda r: f"The sign-off ends on {_when(r)}",
    "no-steps": lambda r: f"The sign-off of {_when(r)} was brought in without its steps",
}


def shift_kind_words(kind: str) -> str:
    """A kind of shift as it is said; the staff list has none."""
    return KINDS.get(kind, kind) or NO_KIND


def where(cell: Cell | Suppressed) -> str:
    """The ward, the kind of shift and the role of a cell."""
    return f"{cell.ward or NO_WARD}, {shift_kind_words(cell.kind)}, {cell.role or NO_ROLE}"


def cell_sentence(c: Cell) -> str:
    """How many of a cell are signed off, and how sure that share is.

    >>> cell_sentence(Cell("Larch", "night", "RN", 12, 3, 0.089, 0.532))
    'Larch, night shift, RN: 3 of 12 signed off (25 %, likely 9 to 53 %).'
    """
    span = display.percent_span(c.low, c.high)
    return f"{where(c)}: {c.signed_off} of {c.n} signed off ({display.percent(c.share)}, likely {span})."


def suppressed_sentence(v: Suppressed) -> str:
    """A cell in words for somebody who sees no names."""
    words = {
        Disclosure.TOLD: f"{v.signed_off} of {v.n} signed off",
        Disclosure.FEW_ARE: f"fewer than {FEWEST} of {v.n} signed off",
        Disclosure.FEW_ARE_NOT: f"fewer than {FEWEST} of {v.n} still to be signed off",
        Disclosure.WITHHELD: "too few people to show",
    }
    return words[v.disclosure]


def listed(reasons: Sequence[Reason]) -> tuple[str, ...]:
    """The reasons to see somebody again, heaviest first, as sentences."""

    return tuple(f"{reason_sentence(r)}." for r in sorted(reasons, key=lambda r: -WEIGHTS[r.code]))


def line_sentences(c: Coverage) -> tuple[str, str, str]:
    """The three honest lines: eligible, excluded with the reasons, unknown with the reasons."""
    return (
        f"Eligible: {len(c.people)}, of whom {c.signed_off} {'is' if c.signed_off == 1 else 'are'} signed off.",
        f"Excluded: {_with_reasons(c.excluded, EXCLUDED)}.",
        f"Unknown: {_with_reasons(c.unknown, UNKNOWN)}.",
    )


def _with_reasons(line: Line, words: Mapping[str, str]) -> str:
    counted = Counter(reason for _, reason in line)
    reasons = "; ".join(f"{n} {words[reason]}" for reason, n in counted.most_common())
    return f"{len(line)} ({reasons})" if reasons else "nobody"
