"""Standing, coverage, refreshing, agreement and learning in a nurse's words, as data for page, paper and terminal.

Kind words about people: "not yet" and "offer", never a mark.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from datetime import date

from browline.shifts import KINDS
from browline.skills.agreement import ONE_SIDED, Agreement, Coefficient, Outcome
from browline.skills.cells import FEWEST, Cell, Shown, Veiled
from browline.skills.coverage import EXCLUDED, UNKNOWN, Coverage, Line
from browline.skills.learning import Curve, Design, Limit, shortest
from browline.skills.learning import Outcome as Learning
from browline.skills.refresh import WEIGHTS, Reason
from browline.skills.scored_twice import AssessorLeaning, Leaning
from browline.skills.standing import Standing, Stands

NO_STEPS = "by a record brought in (no steps recorded)"
FAR_APART = 0.2
NO_WARD, NO_ROLE, NO_KIND = "ward not said", "role not said", "any shift (no roster)"


def day(when: date) -> str:
    """A date that cannot be misread.

    >>> day(date(2026, 3, 7))
    '07 Mar 2026'
    """
    return when.strftime("%d %b %Y")


def standing_sentence(s: Standing) -> str:
    """Where somebody stands, in one sentence.

    >>> from browline.skills.standing import Observed, Rule, standing
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
    return "; ".join(r.told) or "a critical step"


_REASONS: dict[str, Callable[[Reason], str]] = {
    "not-yet": lambda r: f"Not yet on {_when(r)}: {_steps(r)}",
    "ended": lambda r: f"The sign-off ended on {_when(r)}",
    "missed-before": lambda r: f"Needed another try: {_steps(r)} on {_when(r)}",
    "back": lambda r: f"Back on {_when(r)} from {r.number} days away, and not observed since",
    "ward": lambda r: f"The charts of the ward ask for a look: {'; '.join(r.told)}",
    "few-duties": lambda r: (
        f"{r.number or 'No'} turn{'' if r.number == 1 else 's'} of duty in the last four weeks"
    ),
    "first-year": lambda r: f"The look due in the first year since {_when(r)} has not been taken",
    "ends": lambda r: f"The sign-off ends on {_when(r)}",
    "no-steps": lambda r: f"The sign-off of {_when(r)} was brought in without its steps",
}


def kind_of_shift(kind: str) -> str:
    """A kind of shift as it is said; the staff list has none."""
    return KINDS.get(kind, kind) or NO_KIND


def where(cell: Cell | Veiled) -> str:
    """The ward, the kind of shift and the role of a cell."""
    return f"{cell.ward or NO_WARD}, {kind_of_shift(cell.kind)}, {cell.role or NO_ROLE}"


def cell_sentence(c: Cell) -> str:
    """How many of a cell are signed off, and how sure that share is.

    >>> cell_sentence(Cell("Larch", "night", "RN", 12, 3, 0.089, 0.532))
    'Larch, night shift, RN: 3 of 12 signed off (25 %, likely 9 to 53 %).'
    """
    span = f"{100 * c.low:.0f} to {100 * c.high:.0f} %"
    return f"{where(c)}: {c.signed_off} of {c.n} signed off ({100 * c.share:.0f} %, likely {span})."


def veiled_sentence(v: Veiled) -> str:
    """What somebody is told of a cell who sees no names."""
    told = {
        Shown.TOLD: f"{v.signed_off} of {v.n} signed off",
        Shown.FEW_ARE: f"fewer than {FEWEST} of {v.n} signed off",
        Shown.FEW_ARE_NOT: f"fewer than {FEWEST} of {v.n} still to be signed off",
        Shown.WITHHELD: "too few people to show",
    }
    return told[v.shown]


def agreement_sentences(a: Agreement) -> tuple[str, ...]:
    """The agreement of assessors, plainly: the share, what it means, and every warning."""
    if a.raw is None:
        return (a.outcome.sentence,)
    agreed = sum(a.table[i][i] for i in range(len(a.table)))
    said = [f"Two assessors agreed on {agreed} of {a.n} demonstrations scored twice.", a.outcome.sentence]
    if a.few and a.outcome is not Outcome.TOO_FEW:
        said.append(f"{a.n} pairs are few, so the ranges are wide: thirty or more tell better.")
    return tuple(said)


def coefficient_sentences(a: Agreement) -> tuple[str, ...]:
    """Why the two coefficients lie far apart: said only where a lopsided margin, of enough pairs, is the cause."""
    if a.kappa.value is None or a.ac1.value is None or a.ac1.value - a.kappa.value < FAR_APART:
        return ()
    if a.few or a.one_sided < ONE_SIDED:
        return ()
    return (
        f"Kappa is far below AC1 because {100 * a.one_sided:.0f} % of the judgements are the same one: kappa then "
        "counts most of the agreement as chance. It says little about the assessors here.",
    )


def coefficient_words(c: Coefficient) -> str:
    """A coefficient with its interval, or that it cannot be worked out.

    >>> coefficient_words(Coefficient(0.4, 0.13, 0.15, 0.64))
    '0.40 (0.15 to 0.64)'
    """
    if c.value is None or c.low is None or c.high is None:
        return "cannot be worked out"
    return f"{_two(c.value)} ({_two(c.low)} to {_two(c.high)})"


def _two(value: float) -> str:
    text = f"{value:.2f}"
    return "0.00" if text == "-0.00" else text.replace("-", "−")


def leaning_sentence(one: AssessorLeaning) -> str:
    """What an assessor's outcomes beside colleagues' say: an offer at most, always with the numbers."""
    counted = f"{one.pairs} scored with a colleague, {one.differed} judged differently"
    if one.leaning is Leaning.TOO_FEW:
        return f"Too few to tell: {counted}."
    if one.leaning is Leaning.NO_PATTERN:
        return f"No pattern: {counted}."
    how = "signed off" if one.leaning is Leaning.SIGNS_MORE else "said not yet"
    times = one.signed_off if one.leaning is Leaning.SIGNS_MORE else one.differed - one.signed_off
    return f"Offer a calibration together: {counted}, and in {times} of those this one {how} and the colleague did not."


def learning_sentences(curve: Curve, design: Design, found: Limit) -> tuple[str, ...]:
    """What repeated attempts show, and what the limit promises."""
    if found.h is None:
        return (f"{design.attempts} attempts cannot show it, whatever comes of them. Intend more.",)
    said = _how_it_went(curve, design)
    if curve.outcome is Learning.TOO_FEW:
        said.append(f"At the least {shortest(design, found.h)} in a row are needed.")
    missed, not_adequate = 100 * design.p0, 100 * (design.p0 + design.d)
    said.append(
        f"Of learners who miss something in {not_adequate:.0f} % of tries, {100 * found.false:.0f} in 100 would get so "
        f"far within {design.attempts}; of those who do in {missed:.0f} %, {100 * found.power:.0f} in 100 would."
    )
    return tuple(said)


def _how_it_went(curve: Curve, design: Design) -> list[str]:
    shown = f"hown at try {curve.shown_at}." if curve.outcome is Learning.SHOWN else ""
    if not curve.later:
        return [*(["S" + shown] if shown else []), curve.outcome.sentence]
    behind = f"The {design.attempts} tries intended are behind:"
    if shown:
        return [f"{behind} s{shown}", curve.outcome.sentence]
    return [
        f"{behind} not shown within them. Practise what was missed, and go by the checklist from here on."
    ]


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
    said = "; ".join(f"{n} {words[reason]}" for reason, n in counted.most_common())
    return f"{len(line)} ({said})" if said else "nobody"
