"""A plan as the book keeps it: visits, chances and reasons by key, no names; a name is looked up when it is shown."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta

import numpy as np

from browline.services.book.clock import ward_zone
from browline.services.training.visit_plan.options import Options
from browline.services.training.visit_plan.reading import Read
from browline.services.training.visit_plan.rows import HeldRow, PlanResult, VisitRow
from browline.services.training.visit_plan.times import midnight
from browline.store.models import Champion
from browline.visit_plan import NIGHT, WEEKDAY, WEEKEND, Plan, Visit
from browline.visit_plan.champions import beside, champion_coverage

TIMES = {WEEKDAY: "day", WEEKEND: "weekend", NIGHT: "night"}
TIME_WORDS = {"day": "weekdays", "weekend": "weekend days", "night": "nights"}
FORMAT = "browline-plan/1"


def told(options: Options, read: Read, plan: Plan) -> PlanResult:
    """The whole result as JSON."""
    problem = read.problem
    return {
        "format": FORMAT,
        "outcome": plan.outcome.value,
        "to_reach": int(problem.to_reach.sum()),
        "with_chance": int((plan.chances > 0).sum()),
        "expected": plan.expected,
        "hours": plan.hours,
        "worth": plan.worth,
        "bound": plan.bound,
        "gap": plan.gap,
        "on_roster": read.on_roster,
        "days_on_roster": _days_on_roster(read, options),
        "visits": [_visit(options, read, visit) for visit in plan.visits],
        "make_ups": {str(read.people[p]): plan.make_ups(int(p)) for p in np.flatnonzero(plan.chances > 1)},
        "once": [read.people[p] for p in np.flatnonzero(plan.chances == 1)],
        "unreached": _unreached(read, plan),
        "excluded": _by_reason((reason, person) for person, reason in read.excluded.items()),
        "helpers": _helpers(read, plan),
        "champions": _champions(options, read),
    }


def _visit(options: Options, read: Read, visit: Visit) -> VisitRow:
    at = midnight(options.first_day) + timedelta(hours=round(visit.start * 60) / 60)
    fixed = None if visit.fixed is None else read.fixed[visit.fixed]
    ward = read.wards[visit.ward]
    stretch = None if visit.stretch is None else read.problem.stretches[visit.stretch]
    return {
        "key": f"{at:%Y-%m-%dT%H:%M}|{ward}",
        "time": at.replace(tzinfo=ward_zone()).isoformat(),
        "minutes": round(visit.hours * 60),
        "ward": ward,
        "shift": TIMES[stretch.time] if stretch else _shift_of(at),
        "on_duty": visit.on_duty,
        "places": visit.places,
        "expected": visit.expected,
        "calls": [[read.people[p], int(k)] for p, k in zip(visit.who, visit.chance, strict=True)],
        "session": fixed.session if fixed else None,
        "kept": fixed is not None,
    }


def _shift_of(at: datetime) -> str:
    """Which time of the week a visit set by hand belongs to (night: from eight in the evening to six)."""
    if at.hour >= 20 or at.hour < 6:
        return TIMES[NIGHT]
    return TIMES[WEEKEND] if at.weekday() > 4 else TIMES[WEEKDAY]


def _unreached(read: Read, plan: Plan) -> dict[str, list[int]]:
    return _by_reason((reason.value, read.people[person]) for person, reason in plan.unreached.items())


def _by_reason(found: Iterable[tuple[str, int]]) -> dict[str, list[int]]:
    out: dict[str, list[int]] = defaultdict(list)
    for reason, person in found:
        out[reason].append(person)
    return dict(out)


def _helpers(read: Read, plan: Plan) -> dict[str, list[int]]:
    """For those without a chance: who of those signed off works most beside them, and on how many turns of duty."""
    signed_off = {n for n, p in enumerate(read.people) if read.members[p].standing.stands.current}
    found = beside(read.problem.duties, set(plan.unreached), signed_off)
    return {
        str(read.people[person]): [read.people[helper], turns] for person, (helper, turns) in found.items()
    }


def _champions(options: Options, read: Read) -> list[HeldRow]:
    """Each ward and time of the week: how many of its turns have a champion who is signed off."""
    named = _named(options, read)
    ready = {(p, w) for p, w in named if read.members[read.people[p]].standing.stands.current}
    held = champion_coverage(read.problem.duties, ready)
    waiting = {w: sum(ward == w for _, ward in named - ready) for _, w in named}
    return [
        {
            "ward": read.wards[h.ward],
            "shift": TIMES[h.time],
            "turns": h.shifts,
            "held": h.covered,
            "champions": [read.people[p] for p in h.champions],
            "not_signed_off": waiting.get(h.ward, 0),
        }
        for h in held
        if read.wards[h.ward]
    ]


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


def names_in(result: PlanResult) -> set[int]:
    """Everybody a kept plan speaks of."""
    people = {person for visit in result.get("visits", ()) for person, _ in visit["calls"]}
    for left in (result.get("unreached", {}), result.get("excluded", {})):
        people |= {person for group in left.values() for person in group}
    people |= {helper for helper, _ in result.get("helpers", {}).values()}
    return people | {person for held in result.get("champions", ()) for person in held["champions"]}
