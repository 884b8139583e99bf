"""Who can be observed: the staff list for the phone, those on duty soon and not signed off first."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TypedDict

from django.db.models import Q

from browline import display
from browline.competency.attempts import NextTry, renewed_until
from browline.competency.checklist import Checklist
from browline.competency.judging import OUTCOMES, SIGNED_OFF
from browline.services.book.clock import local_day, ward_zone
from browline.services.training.demonstrations.reading import next_tries
from browline.store.models import Attendance, Demonstration, Person, Shift

SOON = timedelta(hours=12)
# The order of the list: on duty soon and not signed off, not signed off, signed off.
EXPECTED, TO_BE_SEEN, SEEN = 0, 1, 2


class Row(TypedDict):
    """Somebody who may be observed, as the page's script takes them."""

    id: int
    name: str
    identifier: str
    role: str
    ward: str
    group: int
    until: str
    next: dict[str, object] | None


def people(checklist: Checklist, now: datetime, today: date, *, observer: int | None = None) -> list[Row]:
    """Everybody of the staff list still here, as plain data for the page, in the order to be shown.

    What was left at somebody's last try is told to the educator (`observer` None) and to who observed that person;
    the number and the day of the next try are told to all, for the rule holds without a network as well.
    """
    staff = Person.objects.listed().lasting(today)
    on_duty, until, tries = _on_duty(now, today), _signed_until(checklist), next_tries(checklist, today)
    visible_tries = tries if observer is None else _without_steps(tries, _observed_by(observer))
    rows = [_row(p, p.pk in on_duty, until.get(p.pk), visible_tries.get(p.pk), today) for p in staff]
    return sorted(rows, key=lambda row: (row["group"], row["name"].casefold()))


def _observed_by(observer: int) -> set[int]:
    theirs = Demonstration.objects.in_force().filter(Q(assessor=observer) | Q(second=observer))
    return set(theirs.order_by().values_list("person", flat=True))


def _without_steps(tries: dict[int, NextTry], observed: set[int]) -> dict[int, NextTry]:
    return {
        person: next_try if person in observed else replace(next_try, again=())
        for person, next_try in tries.items()
    }


def _row(person: Person, on_duty: bool, until: date | None, following: NextTry | None, today: date) -> Row:
    holds = until is not None and until >= today
    return {
        "id": person.pk,
        "name": person.shown,
        "identifier": person.identifier,
        "role": person.role,
        "ward": person.ward,
        "group": SEEN if holds else EXPECTED if on_duty else TO_BE_SEEN,
        "until": display.day(until) if until and holds else "",
        "next": _next(following) if following else None,
    }


def _next(following: NextTry) -> dict[str, object]:
    return {
        "number": following.number,
        "earliest": following.earliest.isoformat() if following.earliest else "",
        "second": following.second_needed,
        "beyond": following.beyond,
        "again": "; ".join(following.again),
    }


def _on_duty(now: datetime, today: date) -> set[int]:
    soon = Q(end__gte=now, start__lte=now + SOON) | Q(start=None, date=today)
    return set(Shift.objects.on_duty().filter(soon).values_list("person", flat=True))


def _signed_until(checklist: Checklist) -> dict[int, date]:
    attendances = Attendance.objects.filter(outcome__in=OUTCOMES).order_by("time")
    last = {
        person: (time, outcome)
        for person, time, outcome in attendances.values_list("person", "time", "outcome")
    }
    zone = ward_zone()
    return {
        person: renewed_until(local_day(time, zone), checklist.renewal_months)
        for person, (time, outcome) in last.items()
        if outcome == SIGNED_OFF
    }
