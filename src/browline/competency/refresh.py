"""Whom to see again, and in which order? Reasons first; the order is only how many of them there are, weighed.

    weight of a person = sum over the reasons that hold of the weight of the reason

The weights are our judgement, with no source: what is known is that a motor skill fades within months (37 in 100
passed a resuscitation test three months after training and 14 in 100 at twelve, in a review of such courses), not how
a forehead scan does. So an observation is offered 1, 3, 6 and 12 months after the first sign-off, and the order
among those due follows what would worry an educator: a critical step missed, a sign-off that has ended, a ward whose
charts ask for it, long leave, few duties. The number is never shown: it would look like a mark for a person.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from browline.competency.attempts import renewed_until as months_after
from browline.competency.judging import NOT_YET, SIGNED_OFF
from browline.competency.status import Observed, Rule, Standing, Stands

LOOKS = (1, 3, 6, 12)
"""Months after the first sign-off at which a person is looked at again."""

LONG_AWAY_DAYS, BACK_WITHIN_DAYS = 90, 90
FEW_DUTIES, DUTIES_WITHIN_DAYS = 4, 28


class Due(StrEnum):
    """When somebody should be seen again."""

    OVERDUE = "overdue"
    SOON = "soon"
    LATER = "later"


WEIGHTS: dict[str, int] = {
    "not-yet": 6,
    "ended": 5,
    "missed-before": 3,
    "back": 3,
    "ward": 2,
    "few-duties": 2,
    "first-year": 2,
    "ends": 1,
    "no-steps": 1,
}
"""Reasons, heaviest first. Judgement, no source."""


@dataclass(frozen=True)
class History:
    """What is known of one person.

    `observed` are all observations as they stand; `signals` what the last review saw on their ward, in words;
    `away` the last long absence that has ended, as first and last day; `duties` how many turns of duty in the last
    four weeks, None where no roster reaches so far.
    """

    person: int
    standing: Standing
    observed: tuple[Observed, ...]
    signals: tuple[str, ...] = ()
    away: tuple[date, date] | None = None
    duties: int | None = None


@dataclass(frozen=True)
class Reason:
    """One reason to see a person: its code, and what the words of it need (days, numbers, names)."""

    code: str
    day: date | None = None
    details: tuple[str, ...] = ()
    number: int | None = None


@dataclass(frozen=True)
class Refresh:
    """One person to see again: why, by when, and how that day stands to today."""

    person: int
    due: date
    state: Due
    reasons: tuple[Reason, ...]

    @property
    def weight(self) -> int:
        """For ordering only; see the head of this file."""
        return sum(WEIGHTS[r.code] for r in self.reasons)


def solve(people: Sequence[History], rule: Rule, today: date) -> tuple[Refresh, ...]:
    """Those with a reason to be seen again, most reasons first; the never observed are not among them.

    They have nothing to refresh: the coverage and the session plan are about them.
    """
    entries = (_refresh(history, rule, today) for history in people if history.standing.last is not None)
    return tuple(sorted((r for r in entries if r is not None), key=lambda r: (-r.weight, r.due, r.person)))


def next_look(observed: Sequence[Observed], rule: Rule) -> date | None:
    """The next day on which to look at a person: 1, 3, 6, 12 months after the first sign-off, and before the last ends.

    A look is taken by any observation after the look before it; None where there is no sign-off.

    >>> first, second = Observed(date(2026, 1, 10), "signed-off"), Observed(date(2026, 2, 20), "signed-off")
    >>> next_look([first], Rule()), next_look([first, second], Rule())
    (datetime.date(2026, 2, 10), datetime.date(2026, 4, 10))
    """
    signed = [o.day for o in observed if o.outcome == SIGNED_OFF]
    if not signed:
        return None
    first, last = min(signed), max(o.day for o in observed)
    ends = months_after(max(signed), rule.months)
    return min([day for day in _looks(first) if day > last] + [ends])


def _looks(first: date) -> list[date]:
    return [months_after(first, months) for months in LOOKS]


def _refresh(history: History, rule: Rule, today: date) -> Refresh | None:
    reasons = tuple(reason for find in _REASONS if (reason := find(history, rule, today)) is not None)
    if not reasons:
        return None
    due = _due(history, rule, today)
    return Refresh(history.person, due, _state(due, rule, today), reasons)


def _due(history: History, rule: Rule, today: date) -> date:
    """After a not-yet as soon as may be, that is today; a sign-off that ended was due then; else the next look."""
    if history.standing.stands is Stands.OVERDUE and history.standing.until is not None:
        return history.standing.until
    look = next_look(history.observed, rule)
    return look if history.standing.current and look is not None else today


def _state(due: date, rule: Rule, today: date) -> Due:
    if due < today:
        return Due.OVERDUE
    return Due.SOON if due - today <= timedelta(days=rule.soon_days) else Due.LATER


def _not_yet(history: History, rule: Rule, today: date) -> Reason | None:
    last = history.standing.last
    if last is None or history.standing.stands is not Stands.NOT_YET:
        return None
    return Reason("not-yet", last.day, last.missed)


def _ended(history: History, rule: Rule, today: date) -> Reason | None:
    return Reason("ended", history.standing.until) if history.standing.stands is Stands.OVERDUE else None


def _ends(history: History, rule: Rule, today: date) -> Reason | None:
    return Reason("ends", history.standing.until) if history.standing.stands is Stands.DUE_SOON else None


def _missed_before(history: History, rule: Rule, today: date) -> Reason | None:
    """Signed off at last, after a try within the year at which a critical step was missed."""
    if not history.standing.current:
        return None
    year = today - timedelta(days=365)
    missed = [o for o in history.observed if o.outcome == NOT_YET and year <= o.day <= today]
    return Reason("missed-before", missed[-1].day, missed[-1].missed) if missed else None


def _back(history: History, rule: Rule, today: date) -> Reason | None:
    """Back from a long absence within the last months, and not observed since."""
    last = history.standing.last
    if history.away is None or last is None:
        return None
    start, end = history.away
    long = (end - start).days + 1 >= LONG_AWAY_DAYS
    lately = end < today <= end + timedelta(days=BACK_WITHIN_DAYS)
    return Reason("back", end, number=(end - start).days + 1) if long and lately and last.day <= end else None


def _ward(history: History, rule: Rule, today: date) -> Reason | None:
    return Reason("ward", details=history.signals) if history.signals else None


def _few_duties(history: History, rule: Rule, today: date) -> Reason | None:
    few = history.duties is not None and history.duties < FEW_DUTIES
    return Reason("few-duties", number=history.duties) if few else None


def _first_year(history: History, rule: Rule, today: date) -> Reason | None:
    """A look of the first year that is due by now, while the sign-off itself still holds."""
    look = next_look(history.observed, rule)
    if not history.standing.current or look is None or look > today or look == history.standing.until:
        return None
    return Reason("first-year", look)


def _no_steps(history: History, rule: Rule, today: date) -> Reason | None:
    last = history.standing.last
    return Reason("no-steps", last.day) if last is not None and not last.steps else None


_REASONS = (_not_yet, _ended, _missed_before, _back, _ward, _few_duties, _first_year, _ends, _no_steps)
