"""One visit after another, each the one that brings most now: what a careful person would do by hand.

It is the plan to fall back on where the search finds none in time, and the peer that a search has to beat.
"""

from typing import Any

import numpy as np

from browline.visit_plan.problem import Floats, Ints
from browline.visit_plan.program import Program
from browline.visit_plan.relax import best_places
from browline.visit_plan.windows import FIXED


def greedy(program: Program) -> Ints:
    """Numbers of the windows chosen, those arranged first."""
    windows = program.windows.windows
    room = np.array([w.places for w in windows], dtype=np.int64)
    level = np.zeros(program.problem.people, dtype=np.int64)
    limits = Limited(program)
    chosen = [v for v, w in enumerate(windows) if w.stretch == FIXED]
    for v in chosen:
        call(program, v, level, room)
    while (best := _best(program, level, room, limits)) is not None:
        limits.take(best)
        chosen.append(best)
        call(program, best, level, room)
    return np.array(sorted(chosen), dtype=np.int64)


class Limited:
    """What the limits still allow, as visits are taken one after another."""

    def __init__(self, program: Program) -> None:
        self._columns: Any = program.matrix[program.calls :].tocsc()
        self._remaining = program.upper[program.calls :].copy()
        self._windows, self._first = program.windows.windows, len(program.windows)
        self._open = {v for v in range(self._first) if self._windows[v].stretch != FIXED}
        self._used = {s for s in range(len(program.windows.starts)) if program.lower[self._first + s] > 0}
        for stretch in self._used:
            self._remaining -= self._column(self._first + stretch)

    def allows(self, v: int) -> bool:
        """Whether window v can still be visited."""
        return v in self._open and bool(np.all(self._cost(v) <= self._remaining + 1e-9))

    def take(self, v: int) -> None:
        """Visit window v."""
        self._remaining -= self._cost(v)
        self._open.discard(v)
        self._used.add(self._windows[v].stretch)

    def drop(self, v: int) -> None:
        """Never ask about window v again."""
        self._open.discard(v)

    def _cost(self, v: int) -> Floats:
        cost, stretch = self._column(v), self._windows[v].stretch
        return cost if stretch in self._used else cost + self._column(self._first + stretch)

    def _column(self, variable: int) -> Floats:
        out: Floats = self._columns[:, [variable]].toarray().ravel()
        return out


def _gain_now(program: Program, level: Ints) -> Floats:
    """float[pairs]: what a call brings at the chance each person has reached."""
    person, pairs = program.windows.pair_person, np.arange(len(program.windows.pair_person))
    next_chance = np.minimum(level[person], program.chances - 1)
    gain: Floats = np.where(level[person] < program.chances, program.pair_gain[next_chance, pairs], 0.0)
    return gain


def _best(program: Program, level: Ints, room: Ints, limits: Limited) -> int | None:
    """The window that brings most now among those allowed; None where none brings more than its hours cost."""
    window, gain = program.windows.pair_window, _gain_now(program, level)
    brought = np.bincount(window, gain * best_places(window, gain, room), len(room))
    worth = brought + program.gain[: len(room)]
    for v in np.argsort(-worth, kind="stable"):
        if worth[v] <= 1e-12:
            return None
        if limits.allows(int(v)):
            return int(v)
        # What is not allowed now never will be: limits only fill up.
        limits.drop(int(v))
    return None


def call(program: Program, v: int, level: Ints, room: Ints) -> Ints:
    """Call the best of a window, and count a chance for each in `level`; returns their pairs."""
    gain = _gain_now(program, level)
    pairs = np.flatnonzero(program.windows.pair_window == v)
    best = pairs[np.argsort(-gain[pairs], kind="stable")][: room[v]]
    called: Ints = best[gain[best] > 0]
    level[program.windows.pair_person[called]] += 1
    return called
