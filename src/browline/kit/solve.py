"""From the records to the fleet: one pass over each table, then each instrument by itself."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar

from browline.kit.battery import battery
from browline.kit.check import check_due
from browline.kit.due import lens_due
from browline.kit.fleet import Count, Fleet
from browline.kit.mismatch import mismatches
from browline.kit.problem import Problem
from browline.kit.records import Entry
from browline.kit.wards import faults, ward_kits
from browline.kit.whereabouts import Place, State, whereabouts


class Named(Protocol):
    """A record of one instrument."""

    @property
    def instrument(self) -> str:
        """Its name."""


Record = TypeVar("Record", bound=Named)


def solve(problem: Problem) -> Fleet:
    """Where every instrument is today, and what is to do."""
    seen = _by_instrument(sorted(problem.sightings))
    cleaned = _by_instrument(sorted(problem.cleanings, key=lambda c: (c.time, c.part)))
    checked = _by_instrument(sorted(problem.checks, key=lambda c: c.time))
    listed = sorted((e for e in problem.register if e.listed), key=lambda e: e.name)
    later = tuple(e for e in listed if e.start is not None and e.start > problem.today)
    begun = [e for e in listed if e not in later]
    places = {e.name: whereabouts(e, seen.get(e.name, ()), problem) for e in begun}
    serving = [e for e in begun if places[e.name].state is not State.RETIRED]
    lenses = {e.name: lens_due(e, seen[e.name], cleaned[e.name], problem) for e in serving}
    batteries = {
        e.name: battery(
            e,
            seen[e.name],
            problem.charted.get(e.name),
            problem.lasts(e.model),
            problem.now,
            problem.locate_days,
        )
        for e in serving
    }
    differ = tuple(m for e in serving for m in mismatches(e, seen[e.name]))
    unfit = {e.name: faults(e.name, lenses, batteries, differ) for e in serving}
    unlisted = tuple(sorted((e for e in problem.register if not e.listed), key=lambda e: e.name))
    return Fleet(
        count=_count(places.values(), later, unlisted),
        places=places,
        lenses=lenses,
        batteries=batteries,
        mismatches=differ,
        checks={e.name: check_due(e, checked[e.name], problem.check_days, problem.now) for e in serving},
        wards=ward_kits([places[e.name] for e in serving], unfit, problem.need),
        later=later,
        unlisted=unlisted,
    )


def _by_instrument(records: Iterable[Record]) -> defaultdict[str, list[Record]]:
    """Records by instrument, in the order given."""
    found: defaultdict[str, list[Record]] = defaultdict(list)
    for record in records:
        found[record.instrument].append(record)
    return found


def _count(places: Iterable[Place], later: Sequence[Entry], unlisted: Sequence[Entry]) -> Count:
    of = Counter(place.state for place in places)
    return Count(
        of[State.PRESENT],
        of[State.IN_USE],
        of[State.NOT_LOCATED],
        of[State.RETIRED],
        len(later),
        len(unlisted),
    )
