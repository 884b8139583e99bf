"""Starts that are as good as each other, taken together: a window is a ward, and a run of starts of one stretch.

Between two changes of shift the same people are on a ward, so the starts there differ in nothing. Taking them
together removes most of the choice without removing any plan: which of its starts a window gets is settled later
(`timetable`), and that one can always be found is a constraint of the program (Hall's condition).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from browline.visit_plan.cover import places
from browline.visit_plan.problem import DAY_H, Ints, Problem, Stretch

FIXED = -1
"""The stretch of a visit that is already arranged."""


@dataclass(frozen=True)
class Window:
    """`first` to `last`: numbers of its starts among the free starts of its stretch. `who`: those to reach there.

    `on_duty`: everybody on the ward then. `places`: how many can be taught. `fixed`: number of the arranged visit.
    """

    ward: int
    day: int
    stretch: int
    first: int
    last: int
    start: float
    on_duty: int
    places: int
    who: Ints
    fixed: int | None = None


@dataclass(frozen=True)
class Windows:
    """All windows of a problem, and the free starts of every stretch."""

    windows: tuple[Window, ...]
    starts: tuple[tuple[float, ...], ...]

    def __len__(self) -> int:
        return len(self.windows)

    @cached_property
    def pair_window(self) -> Ints:
        """int[pairs]: the window of each pair of a window and somebody who is there."""
        return np.repeat(np.arange(len(self.windows)), [len(w.who) for w in self.windows])

    @cached_property
    def pair_person(self) -> Ints:
        """int[pairs]: the person of each pair."""
        if not self.windows:
            return np.empty(0, dtype=np.int64)
        return np.concatenate([w.who for w in self.windows])


def build_windows(problem: Problem) -> Windows:
    """Every window with somebody to reach and a place for them, and every visit already arranged."""
    starts = tuple(free_starts(problem, stretch) for stretch in problem.stretches)
    windows = [_fixed(problem, number) for number in range(len(problem.fixed))]
    for number, stretch in enumerate(problem.stretches):
        windows += _stretch_windows(problem, number, stretch, starts[number])
    return Windows(tuple(windows), starts)


def free_starts(problem: Problem, stretch: Stretch) -> tuple[float, ...]:
    """The starts of a stretch at which no arranged visit, with the walks around it, is in the way."""
    return tuple(
        start
        for start in stretch.starts
        if all(
            start + problem.cost_h <= visit.start + 1e-9
            or start >= visit.start + visit.hours + problem.walk_h - 1e-9
            for visit in problem.fixed
        )
    )


def _fixed(problem: Problem, number: int) -> Window:
    visit = problem.fixed[number]
    on_duty, who = present(problem, visit.start, visit.hours).get(
        visit.ward, (0, np.empty(0, dtype=np.int64))
    )
    room = places(on_duty, visit.hours, problem.cover)
    day = int(visit.start // DAY_H)
    return Window(
        ward=visit.ward,
        day=day,
        stretch=FIXED,
        first=0,
        last=0,
        start=visit.start,
        on_duty=on_duty,
        places=room,
        who=who,
        fixed=number,
    )


def _stretch_windows(
    problem: Problem, number: int, stretch: Stretch, starts: tuple[float, ...]
) -> Iterator[Window]:
    """Windows of one stretch: runs of starts that find the same people on a ward."""
    running: dict[int, Window] = {}
    for place, start in enumerate(starts):
        there = present(problem, start, problem.visit_h)
        for ward in sorted(running.keys() | there.keys()):
            before = running.get(ward)
            on_duty, who = there.get(ward, (0, np.empty(0, dtype=np.int64)))
            if before is not None and _same(before, on_duty, who):
                running[ward] = _until(before, place)
                continue
            if before is not None:
                yield running.pop(ward)
            room = places(on_duty, problem.visit_h, problem.cover)
            if room and len(who) and _open(problem, ward, stretch.day):
                running[ward] = Window(
                    ward=ward,
                    day=stretch.day,
                    stretch=number,
                    first=place,
                    last=place,
                    start=start,
                    on_duty=on_duty,
                    places=room,
                    who=who,
                )
    yield from running.values()


def _same(before: Window, on_duty: int, who: Ints) -> bool:
    return before.on_duty == on_duty and np.array_equal(before.who, who)


def _until(window: Window, last: int) -> Window:
    return Window(
        ward=window.ward,
        day=window.day,
        stretch=window.stretch,
        first=window.first,
        last=last,
        start=window.start,
        on_duty=window.on_duty,
        places=window.places,
        who=window.who,
    )


def _open(problem: Problem, ward: int, day: int) -> bool:
    return ward not in problem.closed and (ward, day) not in problem.excluded


def present(problem: Problem, start: float, hours: float) -> dict[int, tuple[int, Ints]]:
    """By ward: how many are on duty for the whole of a visit, clear of handover, and who of them is to be reached."""
    duties, edge = problem.duties, problem.cover.handover_h
    on = np.flatnonzero((duties.start + edge <= start + 1e-9) & (duties.end - edge >= start + hours - 1e-9))
    out: dict[int, tuple[int, Ints]] = {}
    for ward in np.unique(duties.ward[on]):
        people = np.unique(duties.person[on[duties.ward[on] == ward]])
        out[int(ward)] = len(people), people[problem.to_reach[people]]
    return out
