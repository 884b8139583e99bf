"""Where everybody stands today: their observations as they stand, and sign-offs that came in with a list.

A demonstration kept here also writes a row among the sessions, for the review; that row is the same event and is
left out here, by its person and time. What is left there are sign-offs brought in, whose steps nobody wrote down.
"""

from collections.abc import Iterable
from datetime import date
from typing import TypeVar

from django.db.models import QuerySet

from browline.competency import checklist
from browline.competency.judging import OUTCOMES
from browline.competency.status import Observed, Rule, Standing, standing
from browline.services.book.clock import local_day, ward_zone
from browline.services.materials.documents import in_force
from browline.services.training.demonstrations.reading import histories
from browline.store.models import Attendance, Demonstration, Person

# Common practice, no source: two months are enough to find a shift on which both are there.
SOON_DAYS = 60

M = TypeVar("M", Attendance, Demonstration)


def rule(today: date) -> Rule:
    """How long a sign-off holds, by the checklist in force: a policy that changes holds for everybody."""
    return Rule(checklist.read(in_force("checklist", today).body).renewal_months, SOON_DAYS)


def observations(people: Iterable[int] | None = None) -> dict[int, tuple[Observed, ...]]:
    """Every observation of each person, in order of days; all people where none are named."""
    wanted = None if people is None else list(people)
    found: dict[int, list[Observed]] = {}
    for person, day, outcome in _brought_in(wanted):
        found.setdefault(person, []).append(Observed(day, outcome, steps=False))
    for person, past in histories(wanted).items():
        found.setdefault(person, []).extend(Observed(p.day, p.outcome, True, p.again) for p in past)
    return {person: tuple(sorted(seen, key=lambda o: (o.day, o.steps))) for person, seen in found.items()}


def standings(today: date, people: Iterable[int] | None = None) -> dict[int, Standing]:
    """Where each person of the book stands on `today`; all people where none are named."""
    wanted = None if people is None else list(people)
    numbers = list(Person.objects.values_list("pk", flat=True)) if wanted is None else wanted
    seen, came, in_force_now = observations(wanted), _attended(wanted), rule(today)
    return {p: standing(seen.get(p, ()), in_force_now, today, came.get(p, ())) for p in numbers}


def _brought_in(people: list[int] | None) -> list[tuple[int, date, str]]:
    zone, kept_here = ward_zone(), set(_of(Demonstration.objects.all(), people).values_list("person", "time"))
    rows = _of_attendance(people).filter(outcome__in=list(OUTCOMES)).values_list("person", "time", "outcome")
    return [(p, local_day(time, zone), outcome) for p, time, outcome in rows if (p, time) not in kept_here]


def _attended(people: list[int] | None) -> dict[int, list[date]]:
    zone, came = ward_zone(), dict[int, list[date]]()
    for person, time in (
        _of_attendance(people).exclude(outcome__in=list(OUTCOMES)).values_list("person", "time")
    ):
        came.setdefault(person, []).append(local_day(time, zone))
    return came


def _of_attendance(people: list[int] | None) -> QuerySet[Attendance]:
    return _of(Attendance.objects.all(), people)


def _of(rows: QuerySet[M], people: list[int] | None) -> QuerySet[M]:
    return rows if people is None else rows.filter(person__in=people)
