"""Turns of duty as a plan counts them: when and where somebody is, leaving out who is away that day."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from browline.competency.staff import Duty, Member
from browline.services.training.visit_plan.times import hours_from, midnight, time_of_week
from browline.shifts import ON_DUTY, USUAL
from browline.store.models import Shift
from browline.visit_plan import Duties

USUAL_HOURS = {kind: (start, end) for kind, start, end in USUAL.values() if start and end}
ON_THE_WARD = "no-patients"
"""The one absence of somebody who is there all the same: they take no temperatures."""


@dataclass(frozen=True)
class Turn:
    """A turn of duty with its hours on the hospital's clock, on the ward worked (the home ward where none is named)."""

    person: int
    ward: str
    time: int
    start: datetime
    end: datetime


def roster(first: date, last: date) -> list[Duty]:
    """Every line of the roster that touches these days, days away included."""
    shifts = Shift.objects.filter(date__gte=first - timedelta(days=1), date__lte=last)
    rows = shifts.order_by("date", "person", "pk")
    return [
        Duty(person=person, day=day, ward=ward, kind=kind, start=start, end=end)
        for person, day, ward, kind, start, end in rows.values_list(
            "person", "date", "ward", "kind", "start", "end"
        )
    ]


def turns(lines: Iterable[Duty], members: Mapping[int, Member], first: date, zone: ZoneInfo) -> list[Turn]:
    """The turns of duty that reach into the plan, of people who are there that day."""
    out = []
    for line in lines:
        if line.kind in ON_DUTY and line.person in members and not _absent(members[line.person], line.day):
            start, end = _hours(line, zone)
            if end > midnight(first):
                ward = line.ward or members[line.person].ward
                out.append(
                    Turn(
                        person=line.person,
                        ward=ward,
                        time=time_of_week(line.day, line.kind),
                        start=start,
                        end=end,
                    )
                )
    return out


def duties(on_duty: list[Turn], person: Mapping[int, int], ward: Mapping[str, int], first: date) -> Duties:
    """The turns with people and wards as codes, in hours since midnight of the first day."""
    return Duties(
        person=np.array([person[turn.person] for turn in on_duty], dtype=np.int64),
        ward=np.array([ward[turn.ward] for turn in on_duty], dtype=np.int64),
        start=np.array([hours_from(first, turn.start) for turn in on_duty], dtype=np.float64),
        end=np.array([hours_from(first, turn.end) for turn in on_duty], dtype=np.float64),
        time=np.array([turn.time for turn in on_duty], dtype=np.int64),
    )


def _absent(member: Member, day: date) -> bool:
    """Whether the register has somebody away on a day, whatever the roster still says."""
    employed = (member.start is None or member.start <= day) and (member.end is None or day <= member.end)
    return not employed or any(
        a.reason != ON_THE_WARD and a.start <= day and (a.end is None or day <= a.end) for a in member.away
    )


def _hours(line: Duty, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Start and end on the ward's clock; the usual hours of the kind where the roster gives none."""
    if line.start is not None and line.end is not None:
        return line.start.astimezone(zone).replace(tzinfo=None), line.end.astimezone(zone).replace(
            tzinfo=None
        )
    start, end = USUAL_HOURS[line.kind]
    began, ended = datetime.combine(line.day, start), datetime.combine(line.day, end)
    return began, ended if ended > began else ended + timedelta(days=1)
