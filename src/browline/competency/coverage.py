"""Who can do it where and when? Three honest lines, and the cells of ward, kind of shift and role.

Everybody met is in one line and no other: eligible; excluded, with the reason; unknown, because the book cannot say
whether they take temperatures. Nobody drops out silently, so the lines add up to all that were looked at. People
count where they work, not where they belong: a float on three wards stands in three wards' cells.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from browline.competency.cells import Cell, cells, lowest_share_first
from browline.competency.staff import Counted, Duty, Member
from browline.shifts import ABSENCES, KINDS, ON_DUTY

AWAY = tuple(kind for kind in KINDS if kind not in ON_DUTY and kind != "off")
EXCLUDED: dict[str, str] = {
    **{kind: f"{KINDS[kind]} on the roster" for kind in AWAY},
    **ABSENCES,
    "not-started": "has not started yet",
}
UNKNOWN: dict[str, str] = {
    "not-listed": "on the roster, on no staff list and never observed",
    "no-role": "no role said and never observed, so whether they take temperatures is not known",
    "no-hours": "on the roster that day, but the hours of the shift are not said",
    "no-duty": "on the staff list, with no duty on the roster in these days",
}


@dataclass(frozen=True)
class Coverage:
    """Who was looked at, in three lines, and the cells, most left to see first. `people`: each eligible person once."""

    eligible: tuple[Counted, ...]
    excluded: tuple[tuple[Member, str], ...]
    unknown: tuple[tuple[Member, str], ...]
    cells: tuple[Cell, ...]

    @property
    def people(self) -> tuple[Member, ...]:
        """The eligible, each once however many wards and kinds of shift they work."""
        return tuple({c.member.person: c.member for c in self.eligible}.values())

    @property
    def signed_off(self) -> int:
        """How many of the eligible hold a sign-off."""
        return sum(m.standing.current for m in self.people)


@dataclass(frozen=True)
class Problem:
    """Whom to look at: duties that count, days away on the roster, duties without hours, people without any duty.

    `members` are all of them by number; `first` and `last` the days the question is about.
    """

    members: Mapping[int, Member]
    on: tuple[Duty, ...]
    away: tuple[Duty, ...]
    vague: tuple[Duty, ...]
    idle: tuple[int, ...]
    first: date
    last: date

    def __post_init__(self) -> None:
        met = {d.person for d in (*self.on, *self.away, *self.vague)} | set(self.idle)
        if strange := sorted(met - self.members.keys()):
            raise ValueError(f"nobody is described for the people {strange[:5]}")
        if self.last < self.first:
            raise ValueError(f"the days end on {self.last} and begin on {self.first}")


def duty_snapshot(
    members: Mapping[int, Member], duties: Sequence[Duty], moment: datetime, day: date
) -> Problem:
    """Who is on duty at `moment`, which falls on `day`; `duties` hold those of that day and of the night before.

    Those who are off duty at that moment are not looked at; those the roster has away that day are.
    """
    working = [d for d in duties if d.kind in ON_DUTY]
    on = tuple(d for d in working if d.start and d.end and d.start <= moment < d.end)
    vague = tuple(d for d in working if d.day == day and not (d.start and d.end))
    return Problem(
        members=members,
        on=on,
        away=_away_on_roster(duties, day, day),
        vague=vague,
        idle=(),
        first=day,
        last=day,
    )


def over_days(members: Mapping[int, Member], duties: Sequence[Duty], first: date, last: date) -> Problem:
    """Who works between two days, both counted, and everybody on the staff list who does not.

    Where nobody has a duty in these days the staff list stands in for the roster, with the kind of shift empty.
    """
    on = tuple(d for d in duties if first <= d.day <= last and d.kind in ON_DUTY)
    listed = [m for m in members.values() if m.listed]
    if not on:
        on = tuple(Duty(m.person, first, m.ward, "") for m in listed)
    return Problem(
        members=members,
        on=on,
        away=_away_on_roster(duties, first, last),
        vague=(),
        idle=tuple(m.person for m in listed),
        first=first,
        last=last,
    )


def solve(problem: Problem) -> Coverage:
    """Everybody into one of three lines, and the eligible into cells, most left to see first."""
    on = [d for d in problem.on if not _reason_away(problem.members[d.person], d.day)]
    counted: dict[tuple[int, str, str], Counted] = {}
    for duty in on:
        member = problem.members[duty.person]
        if not _reason_unknown(member):
            ward = duty.ward or member.ward
            counted.setdefault((member.person, ward, duty.kind), Counted(member, ward, duty.kind))
    excluded, unknown = _not_counted(problem, {d.person for d in on})
    eligible = tuple(counted.values())
    return Coverage(eligible, excluded, unknown, lowest_share_first(cells(eligible)))


Line = tuple[tuple[Member, str], ...]


def _not_counted(problem: Problem, on: set[int]) -> tuple[Line, Line]:
    """Those excluded and those unknown, each with the reason, by number."""
    rostered: dict[int, list[Duty]] = {person: [] for person in problem.idle}
    for duty in (*problem.on, *problem.away, *problem.vague):
        rostered.setdefault(duty.person, []).append(duty)
    vague = {d.person for d in problem.vague}
    excluded, unknown = [], []
    for person, duties in sorted(rostered.items()):
        member = problem.members[person]
        if person in on:
            unknown += [(member, reason)] if (reason := _reason_unknown(member)) else []
        elif reason := _why_away(problem, member, duties):
            excluded.append((member, reason))
        else:
            unknown.append((member, "no-hours" if person in vague else "no-duty"))
    return tuple(excluded), tuple(unknown)


def _why_away(problem: Problem, member: Member, duties: Sequence[Duty]) -> str:
    """Why somebody with no duty that counts is away: by the register first, then by the roster."""
    days = [d.day for d in duties] or [problem.first, problem.last]
    reasons = [_reason_away(member, day) for day in days] + [d.kind for d in duties if d.kind in AWAY]
    return next(filter(None, reasons), "")


def _reason_away(member: Member, day: date) -> str:
    if member.start and day < member.start:
        return "not-started"
    if member.end and member.end < day:
        return "left"
    covering = (a.reason for a in member.away if a.start <= day and (a.end is None or day <= a.end))
    return next(covering, "")


def _reason_unknown(member: Member) -> str:
    """Somebody who was observed is known, whatever the lists leave out."""
    if member.standing.last is not None:
        return ""
    return "not-listed" if not member.listed else "" if member.role else "no-role"


def _away_on_roster(duties: Sequence[Duty], first: date, last: date) -> tuple[Duty, ...]:
    return tuple(d for d in duties if first <= d.day <= last and d.kind in AWAY)
