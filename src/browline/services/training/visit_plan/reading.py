"""The book as a plan sees it: who is to be reached, who works when and where, and what is already arranged."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from browline.competency.staff import Member
from browline.services.book.clock import ward_zone
from browline.services.training import coverage
from browline.services.training.visit_plan.arranged import Fixed, fixed_visits, hours_given, left_slots
from browline.services.training.visit_plan.options import Options
from browline.services.training.visit_plan.people import excluded, known, not_reached
from browline.services.training.visit_plan.times import hours_from, stretches
from browline.services.training.visit_plan.turns import duties, roster, turns
from browline.visit_plan import Cover, FixedVisit, Limits, Problem, Worth

NO_WARD = ""


@dataclass(frozen=True)
class Read:
    """A problem and what its codes stand for: `people` keys of the book, `wards` names, `fixed` visits in order.

    `excluded`: person -> why somebody who is not signed off is not counted among those to reach.
    """

    problem: Problem
    people: tuple[int, ...]
    wards: tuple[str, ...]
    fixed: tuple[Fixed, ...]
    members: Mapping[int, Member]
    excluded: Mapping[int, str]
    on_roster: int


def read(options: Options, now: datetime) -> Read:
    """The problem that these options pose to the book at `now`."""
    here, first, last = ward_zone(), options.first_day, options.last_day
    lines = roster(first, last)
    members = known(coverage.members(now.astimezone(here).date()), lines)
    found, fixed = turns(lines, members, first, here), fixed_visits(options, now, here)
    people = tuple(sorted(members))
    wards = tuple(sorted({turn.ward for turn in found} | {f.ward for f in fixed} | {NO_WARD}))
    person, ward = {p: n for n, p in enumerate(people)}, {w: n for n, w in enumerate(wards)}
    wanted, out = not_reached(members, options), excluded(members, lines, first, last)
    problem = Problem(
        people=len(people),
        wards=len(wards),
        to_reach=np.array([p in wanted and p not in out for p in people], dtype=bool),
        duties=duties(found, person, ward, first),
        stretches=stretches(options, now.astimezone(here)),
        fixed=tuple(FixedVisit(ward[f.ward], hours_from(first, f.time), f.minutes / 60) for f in fixed),
        closed=frozenset(n for w, n in ward.items() if _closed(w, options)),
        excluded=frozenset((ward[w], (d - first).days) for w, d in left_slots(options, here) if w in ward),
        visit_h=options.visit_minutes / 60,
        walk_h=options.walk_minutes / 60,
        cover=_cover(options),
        limits=_limits(options),
        worth=_worth(options),
        first_weekday=first.weekday(),
        spent=hours_given(options, fixed, here),
    )
    not_counted = {p: out[p] for p in people if p in wanted and p in out}
    return Read(
        problem=problem,
        people=people,
        wards=wards,
        fixed=fixed,
        members=members,
        excluded=not_counted,
        on_roster=len({turn.person for turn in found}),
    )


def _closed(ward: str, options: Options) -> bool:
    return ward == NO_WARD or bool(options.wards and ward not in options.wards)


def _cover(options: Options) -> Cover:
    return Cover(options.share / 100, options.at_once, options.stay, round_h=options.person_minutes / 60)


def _limits(options: Options) -> Limits:
    return Limits(
        hours_a_week=options.hours_a_week,
        visits_a_day=options.visits_a_day,
        nights=options.nights,
        weekends=options.weekend_days,
        rest_h=options.rest_hours,
    )


def _worth(options: Options) -> Worth:
    return Worth(options.release / 100, options.chances, options.half_life_days, hour=options.hour)
