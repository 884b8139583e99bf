"""The book as a plan sees it: who is to be reached, who works when and where, and what is already arranged."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from browline.duties import covering
from browline.duties.choices import choice
from browline.duties.planning.options import NOT_TAUGHT, Options, moment
from browline.duties.planning.times import midnight, stretches, time_of_week
from browline.rota import Cover, Duties, FixedVisit, Limits, Problem, Worth
from browline.shifts import ON_DUTY, USUAL
from browline.skills.staff import Member

USUAL_HOURS = {kind: (start, end) for kind, start, end in USUAL.values() if start and end}
NO_WARD = ""


@dataclass(frozen=True)
class Fixed:
    """A visit already arranged: a session of the book, or one kept by hand (no session yet)."""

    ward: str
    time: datetime
    minutes: int
    session: int | None


@dataclass(frozen=True)
class Read:
    """A problem and what its codes stand for: `people` keys of the book, `wards` names, `fixed` visits in order."""

    problem: Problem
    people: tuple[int, ...]
    wards: tuple[str, ...]
    fixed: tuple[Fixed, ...]
    members: Mapping[int, Member]
    on_roster: int


def read(options: Options, now: datetime) -> Read:
    """The problem that these options pose to the book at `now`."""
    here = zone()
    first, last = options.first_day, options.first_day + timedelta(days=7 * options.weeks - 1)
    members = covering.members(now.astimezone(here).date())
    rows = _shifts(first, last, members)
    fixed = _fixed(options, now, here)
    wards = tuple(sorted({row["ward"] for row in rows} | {f.ward for f in fixed} | {NO_WARD}))
    people = tuple(sorted(members))
    problem = _problem(options, members, rows, fixed, people, wards, now.astimezone(here))
    return Read(problem, people, wards, fixed, members, len({row["person"] for row in rows}))


def zone() -> ZoneInfo:
    """The hospital's clock."""
    return ZoneInfo(choice("zone") or "UTC")


def _problem(
    options: Options,
    members: Mapping[int, Member],
    rows: list[dict[str, Any]],
    fixed: tuple[Fixed, ...],
    people: tuple[int, ...],
    wards: tuple[str, ...],
    now: datetime,
) -> Problem:
    first, last = options.first_day, options.first_day + timedelta(days=7 * options.weeks - 1)
    ward = {name: code for code, name in enumerate(wards)}
    shut = {
        code
        for name, code in ward.items()
        if name == NO_WARD or (options.wards and name not in options.wards)
    }
    return Problem(
        people=len(people),
        wards=len(wards),
        to_reach=np.array([to_reach(members[p], options, first, last) for p in people], dtype=bool),
        away=np.array([_away(members[p], first, last) for p in people], dtype=bool),
        duties=_duties(rows, {p: n for n, p in enumerate(people)}, ward, first),
        stretches=stretches(options, now),
        fixed=tuple(FixedVisit(ward[f.ward], _hours(f.time, first), f.minutes / 60) for f in fixed),
        closed=frozenset(shut),
        barred=frozenset(
            (ward[name], (date.fromisoformat(day) - first).days)
            for name, day in options.without
            if name in ward
        ),
        visit_h=options.visit_minutes / 60,
        walk_h=options.walk_minutes / 60,
        cover=Cover(
            share=options.share / 100,
            most=options.at_once,
            stay=options.stay,
            round_h=options.person_minutes / 60,
        ),
        limits=Limits(
            hours_a_week=options.hours_a_week,
            visits_a_day=options.visits_a_day,
            nights=options.nights,
            weekends=options.weekend_days,
            rest_h=options.rest_hours,
        ),
        worth=Worth(
            release=options.release / 100,
            chances=options.chances,
            half_life_days=options.half_life_days,
            hour=options.hour,
        ),
    )


def to_reach(member: Member, options: Options, first: date, last: date) -> bool:
    """Whether a plan is to reach somebody: employed in these weeks, taking temperatures, and not yet reached."""
    gone = any(
        a.reason != "long-leave" and a.start <= first and (a.end is None or a.end >= last)
        for a in member.away
    )
    employed = (member.start is None or member.start <= last) and (member.end is None or member.end >= first)
    taught = options.whom == NOT_TAUGHT and member.standing.attended is not None
    return employed and not gone and not taught and not member.standing.stands.current


def _away(member: Member, first: date, last: date) -> bool:
    return any(a.start <= first and (a.end is None or a.end >= last) for a in member.away)


def _shifts(first: date, last: date, members: Mapping[int, Member]) -> list[dict[str, Any]]:
    """Turns of duty that touch these days, each on the ward worked, the home ward where the roster names none."""
    from browline.store.models import Shift

    found = Shift.objects.filter(
        date__gte=first - timedelta(days=1), date__lte=last, kind__in=ON_DUTY, person__in=list(members)
    ).order_by("date", "person", "pk")
    here, out = zone(), []
    for row in found.values("person", "date", "ward", "kind", "start", "end"):
        row["ward"] = row["ward"] or members[row["person"]].ward
        row["start"], row["end"] = _times(row, here)
        if row["end"] > midnight(first):
            out.append(row)
    return out


def _times(row: Mapping[str, Any], here: ZoneInfo) -> tuple[datetime, datetime]:
    """Start and end on the ward's clock; the usual hours of the kind where the roster gives none."""
    if row["start"] is not None and row["end"] is not None:
        return row["start"].astimezone(here).replace(tzinfo=None), row["end"].astimezone(here).replace(
            tzinfo=None
        )
    start, end = USUAL_HOURS[row["kind"]]
    began = datetime.combine(row["date"], start)
    ended = datetime.combine(row["date"], end)
    return began, ended if ended > began else ended + timedelta(days=1)


def _duties(
    rows: list[dict[str, Any]], person: Mapping[int, int], ward: Mapping[str, int], first: date
) -> Duties:
    return Duties(
        person=np.array([person[row["person"]] for row in rows], dtype=np.int64),
        ward=np.array([ward[row["ward"]] for row in rows], dtype=np.int64),
        start=np.array([_hours(row["start"], first) for row in rows], dtype=np.float64),
        end=np.array([_hours(row["end"], first) for row in rows], dtype=np.float64),
        time=np.array([time_of_week(row["date"], row["kind"]) for row in rows], dtype=np.int64),
    )


def _hours(at: datetime, first: date) -> float:
    return (at.replace(tzinfo=None) - midnight(first)).total_seconds() / 3600


def _fixed(options: Options, now: datetime, here: ZoneInfo) -> tuple[Fixed, ...]:
    """Sessions planned in these weeks, then visits kept by hand that are no session yet."""
    from browline.store.models import Session

    begin = datetime.combine(options.first_day, time(), here)
    end = begin + timedelta(weeks=options.weeks)
    planned = Session.objects.filter(state=Session.PLANNED, time__gte=max(begin, now), time__lt=end)
    found = [Fixed(s.ward, s.time.astimezone(here), s.minutes, s.pk) for s in planned]
    arranged = {(f.ward, f.time.replace(tzinfo=None)) for f in found}
    for kept in options.kept:
        at = moment(kept.time)
        if (kept.ward, at) not in arranged and at >= max(begin, now).astimezone(here).replace(tzinfo=None):
            found.append(Fixed(kept.ward, at.replace(tzinfo=here), kept.minutes, None))
    return tuple(found)
