"""Who helps between visits: whether a champion is on each ward and shift, and who works with those left out."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from browline.visit_plan.problem import DAY_H, Duties


@dataclass(frozen=True)
class Coverage:
    """A ward at one time of the week: `shifts` on its roster, `covered` of them with a champion, and who these are."""

    ward: int
    time: int
    shifts: int
    covered: int
    champions: tuple[int, ...]


def champion_coverage(duties: Duties, champions: Collection[tuple[int, int]]) -> list[Coverage]:
    """Each ward and time of the week that the roster staffs; `champions` are pairs of person and ward."""
    shifts: dict[tuple[int, int], set[int]] = defaultdict(set)
    covered: dict[tuple[int, int], set[int]] = defaultdict(set)
    who: dict[tuple[int, int], set[int]] = defaultdict(set)
    for person, ward, day, time in _days(duties):
        shifts[ward, time].add(day)
        if (person, ward) in champions:
            covered[ward, time].add(day)
            who[ward, time].add(person)
    return [
        Coverage(*key, len(days), len(covered[key]), tuple(sorted(who[key])))
        for key, days in sorted(shifts.items())
    ]


def beside(duties: Duties, people: Collection[int], helpers: Collection[int]) -> dict[int, tuple[int, int]]:
    """person -> (helper, turns of duty together): the helper who works most with each, left out where none does."""
    helping: dict[tuple[int, int, int], list[int]] = defaultdict(list)
    for person, ward, day, time in _days(duties):
        if person in helpers:
            helping[ward, day, time].append(person)
    shared: dict[int, Counter[int]] = defaultdict(Counter)
    for person, ward, day, time in _days(duties):
        if person in people:
            shared[person].update(h for h in helping[ward, day, time] if h != person)
    return {
        person: max(count.items(), key=lambda pair: (pair[1], -pair[0]))
        for person, count in shared.items()
        if count
    }


def _days(duties: Duties) -> Iterable[tuple[int, int, int, int]]:
    """(person, ward, day, time of the week) of every turn of duty."""
    days = (duties.start // DAY_H).astype(int)
    return zip(duties.person.tolist(), duties.ward.tolist(), days.tolist(), duties.time.tolist(), strict=True)
