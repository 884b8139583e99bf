"""Who on duty can do it, which cells have most left to see, who is due, and whom to see again first.

The rooms are asked without names; `names` gives them to the doors that may show them.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from browline.competency import coverage, refresh
from browline.competency.coverage import Coverage
from browline.competency.refresh import History, Refresh
from browline.competency.staff import Away, Duty, Member
from browline.competency.status import Standing, Stands
from browline.findings import CATALOGUE
from browline.services.book.clock import local_day, ward_zone
from browline.services.training.coverage import statuses
from browline.store.models import Absence, Finding, Person, Shift
from browline.weeks import monday_of

WEEKS = 4
# Common practice, no source: night duty is under way at ten in the evening, and still at six in the morning.
NIGHT_IS_ON, NIGHT_ENDS = time(22), time(6)
DUE = (Stands.OVERDUE, Stands.NOT_YET, Stands.DUE_SOON)


@dataclass(frozen=True)
class DueNow:
    """Somebody whose sign-off has ended, ends soon, or is not yet there."""

    person: int
    standing: Standing


def tonight(at: datetime) -> Coverage:
    """Who is on duty at `at`, an aware moment."""
    day = local_day(at)
    duties = _duties(day - timedelta(days=1), day)
    return coverage.solve(coverage.duty_snapshot(members(day), duties, at, day))


def cells(first: date, last: date, today: date) -> Coverage:
    """Who works between two days, and where they stand today."""
    return coverage.solve(coverage.over_days(members(today), _duties(first, last), first, last))


def four_weeks(today: date) -> tuple[date, date]:
    """The four weeks from Monday of this week."""
    monday = monday_of(today)
    return monday, monday + timedelta(weeks=WEEKS, days=-1)


def coming_night(now: datetime) -> datetime:
    """The night under way, else the coming one at ten in the evening, on the hospital's clock."""
    here = now.astimezone(ward_zone())
    under_way = here.time() >= NIGHT_IS_ON or here.time() < NIGHT_ENDS
    return here if under_way else here.replace(hour=NIGHT_IS_ON.hour, minute=0, second=0, microsecond=0)


def due(today: date) -> tuple[DueNow, ...]:
    """Those on the staff list to be observed again: ended, not yet, ending soon; in that order, then by day."""
    rows = [DueNow(m.person, m.standing) for m in _here(today) if m.standing.stands in DUE]
    return tuple(sorted(rows, key=lambda d: (DUE.index(d.standing.stands), d.standing.until or date.min)))


def refreshing(today: date) -> tuple[Refresh, ...]:
    """Whom to see again, most reasons first."""
    observed, present = statuses.observations(), _here(today)
    signals, duties, back = _signals(), _turns(today), _long_away(today)
    histories = [
        History(
            person=m.person,
            standing=m.standing,
            observed=observed.get(m.person, ()),
            signals=signals.get(m.ward, ()),
            away=back.get(m.person),
            duties=None if duties is None else duties[m.person],
        )
        for m in present
    ]
    return refresh.solve(histories, statuses.rule(today), today)


def members(today: date) -> dict[int, Member]:
    """Everybody of the book as the coverage sees them."""
    away: dict[int, list[Away]] = {}
    for absence in Absence.objects.all():
        away.setdefault(absence.person_id, []).append(Away(absence.reason, absence.start, absence.end))
    stand = statuses.standings(today)
    return {
        p.pk: Member(
            person=p.pk,
            ward=p.ward,
            role=p.role,
            standing=stand[p.pk],
            listed=p.listed,
            start=p.start,
            end=p.end,
            away=tuple(away.get(p.pk, ())),
        )
        for p in Person.objects.filter(pk__in=stand)
    }


def names(people: Iterable[int]) -> dict[int, str]:
    """What people are called on sheets."""
    return {p.pk: p.shown for p in Person.objects.filter(pk__in=set(people))}


def _here(today: date) -> list[Member]:
    """Those on the staff list who have not left, are not away for long and do take temperatures."""
    listed = {p: m for p, m in members(today).items() if m.listed}
    problem = coverage.Problem(
        members=listed, on=(), away=(), vague=(), idle=tuple(listed), first=today, last=today
    )
    excluded = {m.person for m, _ in coverage.solve(problem).excluded}
    return [m for m in listed.values() if m.person not in excluded]


def _duties(first: date, last: date) -> list[Duty]:
    rows = Shift.objects.filter(date__gte=first, date__lte=last)
    return [
        Duty(person=person, day=day, ward=ward, kind=kind, start=start, end=end)
        for person, day, ward, kind, start, end in rows.values_list(
            "person", "date", "ward", "kind", "start", "end"
        )
    ]


def _turns(today: date) -> Counter[int] | None:
    """Turns of duty of each person in the last four weeks; None where the roster does not reach so far back."""
    first = today - timedelta(days=refresh.DUTIES_WITHIN_DAYS)
    if not Shift.objects.filter(date__lte=first).exists():
        return None
    on = Shift.objects.on_duty().filter(date__gte=first, date__lt=today)
    return Counter(on.values_list("person", flat=True))


def _long_away(today: date) -> dict[int, tuple[date, date]]:
    ended = Absence.objects.filter(reason="long-leave", end__lt=today).order_by("end")
    return {absence.person_id: (absence.start, absence.end) for absence in ended if absence.end is not None}


def _signals() -> dict[str, tuple[str, ...]]:
    """What the last review saw on each ward, in a few words; never what it saw of a person."""
    briefs: dict[str, list[str]] = {}
    brief = {kind.id: kind.briefly for kind in CATALOGUE if kind.briefly}
    for finding in Finding.objects.open().filter(subject_type="ward", kind__in=brief):
        briefs.setdefault(finding.subject_id, []).append(brief[finding.kind])
    return {ward: tuple(words) for ward, words in briefs.items()}
