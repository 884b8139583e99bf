"""The document of a plan: visits, chances and reasons by key, no names; a name is looked up when it is shown."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta

import numpy as np

from browline.documents.plan import ChampionRow, People, PlanDocument, VisitRow
from browline.services.book.clock import ward_zone
from browline.services.training.visit_plan.options import Options
from browline.services.training.visit_plan.reading import Read
from browline.services.training.visit_plan.times import midnight
from browline.store.models import Champion
from browline.visit_plan import NIGHT, WEEKDAY, WEEKEND, Plan, Visit
from browline.visit_plan.champions import beside, champion_coverage

TIMES = {WEEKDAY: "day", WEEKEND: "weekend", NIGHT: "night"}
TIME_WORDS = {"day": "weekdays", "weekend": "weekend days", "night": "nights"}


def plan_document(options: Options, read: Read, plan: Plan) -> PlanDocument:
    """The whole result, people by their number in the book."""
    problem = read.problem
    make_ups = {str(read.people[p]): tuple(plan.make_ups(int(p))) for p in np.flatnonzero(plan.chances > 1)}
    return PlanDocument(
        outcome=plan.outcome.value,
        to_reach=int(problem.to_reach.sum()),
        with_chance=int((plan.chances > 0).sum()),
        expected=plan.expected,
        hours=plan.hours,
        worth=plan.worth,
        bound=plan.bound,
        gap=plan.gap,
        on_roster=read.on_roster,
        days_on_roster=_days_on_roster(read, options),
        visits=tuple(_visit(options, read, visit) for visit in plan.visits),
        make_ups=make_ups,
        once=tuple(read.people[p] for p in np.flatnonzero(plan.chances == 1)),
        unreached=_unreached(read, plan),
        excluded=_by_reason((reason, person) for person, reason in read.excluded.items()),
        helpers=_helpers(read, plan),
        champions=_champions(options, read),
    )


def _visit(options: Options, read: Read, visit: Visit) -> VisitRow:
    at = midnight(options.first_day) + timedelta(hours=round(visit.start * 60) / 60)
    fixed = None if visit.fixed is None else read.fixed[visit.fixed]
    ward = read.wards[visit.ward]
    stretch = None if visit.stretch is None else read.problem.stretches[visit.stretch]
    return VisitRow(
        key=f"{at:%Y-%m-%dT%H:%M}|{ward}",
        time=at.replace(tzinfo=ward_zone()).isoformat(),
        minutes=round(visit.hours * 60),
        ward=ward,
        shift=TIMES[stretch.time] if stretch else _shift_of(at),
        on_duty=visit.on_duty,
        places=visit.places,
        expected=visit.expected,
        calls=tuple((read.people[p], int(k)) for p, k in zip(visit.who, visit.chance, strict=True)),
        session=fixed.session if fixed else None,
        fixed=fixed is not None,
    )


def _shift_of(at: datetime) -> str:
    """Which time of the week a visit set by hand belongs to (night: from eight in the evening to six)."""
    if at.hour >= 20 or at.hour < 6:
        return TIMES[NIGHT]
    return TIMES[WEEKEND] if at.weekday() > 4 else TIMES[WEEKDAY]


def _unreached(read: Read, plan: Plan) -> dict[str, People]:
    return _by_reason((reason.value, read.people[person]) for person, reason in plan.unreached.items())


def _by_reason(found: Iterable[tuple[str, int]]) -> dict[str, People]:
    out: dict[str, list[int]] = defaultdict(list)
    for reason, person in found:
        out[reason].append(person)
    return {reason: tuple(people) for reason, people in out.items()}


def _helpers(read: Read, plan: Plan) -> dict[str, tuple[int, int]]:
    """For those without a chance: who of those signed off works most beside them, and on how many turns of duty."""
    signed_off = {n for n, p in enumerate(read.people) if read.members[p].standing.stands.current}
    found = beside(read.problem.duties, set(plan.unreached), signed_off)
    return {
        str(read.people[person]): (read.people[helper], turns) for person, (helper, turns) in found.items()
    }


def _champions(options: Options, read: Read) -> tuple[ChampionRow, ...]:
    """Each ward and time of the week: how many of its turns have a champion who is signed off."""
    named = _named(options, read)
    ready = {(p, w) for p, w in named if read.members[read.people[p]].standing.stands.current}
    covered = champion_coverage(read.problem.duties, ready)
    waiting = {w: sum(ward == w for _, ward in named - ready) for _, w in named}
    return tuple(
        ChampionRow(
            ward=read.wards[row.ward],
            shift=TIMES[row.time],
            turns=row.shifts,
            covered=row.covered,
            champions=tuple(read.people[p] for p in row.champions),
            not_signed_off=waiting.get(row.ward, 0),
        )
        for row in covered
        if read.wards[row.ward]
    )


def _named(options: Options, read: Read) -> set[tuple[int, int]]:
    """(person, ward) of everybody named a champion in these weeks."""
    first, last = options.first_day, options.first_day + timedelta(weeks=options.weeks)
    person, ward = {p: n for n, p in enumerate(read.people)}, {w: n for n, w in enumerate(read.wards)}
    rows = Champion.objects.filter(start__lt=last).values("person", "ward", "end")
    return {
        (person[row["person"]], ward[row["ward"]])
        for row in rows
        if row["person"] in person and row["ward"] in ward and (row["end"] is None or row["end"] >= first)
    }


def _days_on_roster(read: Read, options: Options) -> int:
    """On how many days of the plan anybody is on duty."""
    days = np.unique(read.problem.duties.start // 24)
    return int(((days >= 0) & (days < 7 * options.weeks)).sum())
