"""Who is called to which of the visits chosen, in whole numbers: the same program with its visits settled."""

from dataclasses import dataclass, replace

import numpy as np

from browline.visit_plan.chances import reach_probability, soon
from browline.visit_plan.greedy import call
from browline.visit_plan.problem import Flags, Floats, Ints
from browline.visit_plan.program import Program, restricted, solved
from browline.visit_plan.windows import FIXED, Window


@dataclass(frozen=True)
class Called:
    """One visit with its names. `chance` int[names]: the how-manieth chance of each this is, from 1."""

    window: Window
    who: Ints
    chance: Ints


def choose_calls(program: Program, chosen: Ints, seconds: float) -> list[Called]:
    """The best calls for these windows; a visit to which nobody is called is left out, unless it was arranged.

    Where the time does not suffice, the visits in order of time each call the best of those there.
    """
    keep = np.zeros(len(program.windows), dtype=bool)
    keep[chosen] = True
    small = restricted(program, keep)
    lower = small.lower.copy()
    lower[: len(small.windows)] = 1
    answer = solved(replace(small, lower=lower), gap=1e-7, seconds=seconds, calls_whole=True)
    if answer.x is None:
        return _in_order(small, _first_come(small))
    called = answer.x[small.first_call :].reshape(small.chances, -1).sum(axis=0) > 0.5
    return _in_order(small, called)


def _first_come(program: Program) -> Flags:
    """bool[pairs]: those called when each visit in turn calls the best of those there."""
    windows, out = program.windows, np.zeros(len(program.windows.pair_person), dtype=bool)
    room = np.array([w.places for w in windows.windows], dtype=np.int64)
    level = np.zeros(program.problem.people, dtype=np.int64)
    for v in _by_time(program):
        out[call(program, v, level, room)] = True
    return out


def _by_time(program: Program) -> list[int]:
    windows = program.windows.windows
    return sorted(range(len(windows)), key=lambda v: (windows[v].day, windows[v].start))


def _in_order(program: Program, called: Flags) -> list[Called]:
    """The visits in order of day, the chances of each person counted in that order."""
    windows, count = program.windows, np.zeros(program.problem.people, dtype=np.int64)
    out = []
    for v in _by_time(program):
        who = windows.pair_person[(windows.pair_window == v) & called]
        if len(who) or windows.windows[v].stretch == FIXED:
            count[who] += 1
            out.append(Called(windows.windows[v], who, count[who]))
    return out


def plan_worth(program: Program, visits: list[Called]) -> float:
    """What these visits are worth, less the price of their hours."""
    problem = program.problem
    probability = reach_probability(problem.worth.release, problem.worth.chances)
    price = problem.worth.hour * problem.cost_h
    total = 0.0
    for visit in visits:
        soon_by: Floats = soon(np.array([float(visit.window.day)]), problem.worth)
        total += float((problem.weight[visit.who] * probability[visit.chance - 1]).sum() * soon_by[0])
        total -= 0.0 if visit.window.stretch == FIXED else price
    return total
