"""From the records to the fleet: one pass over each table, then each instrument by itself."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import fields
from operator import attrgetter
from typing import Protocol, TypeVar

from browline.instruments.battery import Terms, battery
from browline.instruments.check import check_due
from browline.instruments.due import lens_due, used_much
from browline.instruments.fleet import Count, Fleet
from browline.instruments.mismatch import mismatches
from browline.instruments.problem import Problem
from browline.instruments.records import Entry, Sighted
from browline.instruments.wards import faults, ward_kits
from browline.instruments.whereabouts import Place, State, whereabouts

# The order of `Sighted` itself; comparing tuples is five times as fast.
ORDER = attrgetter(*(f.name for f in fields(Sighted)))


class Named(Protocol):
    """A record of one instrument."""

    @property
    def instrument(self) -> str:
        """Its name."""


Record = TypeVar("Record", bound=Named)


def solve(problem: Problem) -> Fleet:
    """Where every instrument is today, and what is to do."""
    sightings = _by_instrument(sorted(problem.sightings, key=ORDER))
    cleaned = _by_instrument(sorted(problem.cleanings, key=lambda c: (c.time, c.part)))
    checked = _by_instrument(sorted(problem.checks, key=lambda c: c.time))
    listed = sorted((e for e in problem.register if e.listed), key=lambda e: e.name)
    later = tuple(e for e in listed if e.start is not None and e.start > problem.today)
    places = {
        e.name: whereabouts(e, sightings[e.name], problem)
        for e in listed
        if e.start is None or e.start <= problem.today
    }
    serving = [p.entry for p in places.values() if p.state is not State.RETIRED]
    busy = used_much(problem.charted)
    lenses = {e.name: lens_due(e, sightings[e.name], cleaned[e.name], busy, problem) for e in serving}
    batteries = {e.name: battery(e, sightings[e.name], _terms(e, problem), problem.now) for e in serving}
    differ = {
        e.name: mismatches(e, sightings[e.name], problem.charted_units.get(e.name, "")) for e in serving
    }
    checks = {e.name: check_due(e, checked[e.name], problem.check_days, problem.now) for e in serving}
    unfit = {n: faults(lenses[n], batteries[n], differ[n], checks[n]) for n in lenses}
    unlisted = tuple(sorted((e for e in problem.register if not e.listed), key=lambda e: e.name))
    return Fleet(
        count=_count(places.values(), later, unlisted, bool(problem.sightings)),
        places=places,
        lenses=lenses,
        batteries=batteries,
        mismatches=tuple(m for several in differ.values() for m in several),
        checks=checks,
        wards=ward_kits([places[n] for n in lenses], unfit, problem.need, walked=bool(problem.sightings)),
        later=later,
        unlisted=unlisted,
    )


def _terms(entry: Entry, problem: Problem) -> Terms:
    return Terms(problem.charted.get(entry.name), problem.lasts(entry.model), problem.locate_days)


def _by_instrument(records: Iterable[Record]) -> defaultdict[str, list[Record]]:
    """Records by instrument, in the order given."""
    by_name: defaultdict[str, list[Record]] = defaultdict(list)
    for record in records:
        by_name[record.instrument].append(record)
    return by_name


def _count(places: Iterable[Place], later: Sequence[Entry], unlisted: Sequence[Entry], walked: bool) -> Count:
    counts = Counter(place.state for place in places)
    return Count(
        present=counts[State.PRESENT],
        in_use=counts[State.IN_USE],
        not_located=counts[State.NOT_LOCATED],
        retired=counts[State.RETIRED],
        later=len(later),
        unlisted=len(unlisted),
        walked=walked,
    )
