"""The plan as a mixed-integer linear program.

    maximise   Σ_{v,i,k} a_i r (1−r)^(k−1) d_v x_vik − c Σ_v y_v
    subject to Σ_k x_vik ≤ y_v          somebody is called only where a visit is
               Σ_v x_vik ≤ 1            one k-th chance for each
               Σ_{i,k} x_vik ≤ p_v y_v  a place for everybody called
               limits on y and z        (`limits`)
               y_v ∈ {0, 1},  y_v = 1 for visits arranged,  x ≥ 0

v windows, i people, k chances; a_i the weight of a person, d_v = 2^(−day/half-life), c the price of a visit's hours.
That the first chance comes before the second needs no constraint: whoever is called to the same visits is worth
most when the earlier call counts as the first (both factors fall, so the sorted pairing has the largest sum).
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from browline.visit_plan.chances import reach_probability, soon
from browline.visit_plan.limits import limit_rows
from browline.visit_plan.problem import Flags, Floats, Problem
from browline.visit_plan.rows import Rows
from browline.visit_plan.windows import FIXED, Windows
from browline.visit_plan.working_days import in_use


@dataclass(frozen=True)
class Program:
    """``maximise gain @ x  subject to  matrix @ x <= upper, lower <= x <= 1``, `whole` marking the integers.

    Variables: a visit for each window, then use of each stretch, then, for each chance, a call for each pair.
    `calls`: the number of rows before the limits, which tie calls to visits.
    """

    problem: Problem
    windows: Windows
    gain: Floats
    matrix: Any
    upper: Floats
    lower: Floats
    whole: Flags
    calls: int

    @property
    def chances(self) -> int:
        """How many chances of each person are counted."""
        return self.problem.worth.chances

    @cached_property
    def pair_gain(self) -> Floats:
        """float[chances, pairs]: what calling this person to this window for their k-th chance is worth."""
        return pair_gain(self.problem, self.windows)

    @property
    def first_call(self) -> int:
        """The first variable that is a call."""
        return len(self.windows) + len(self.problem.stretches)

    def columns(self, keep: Flags) -> Flags:
        """bool[variables]: those of the windows kept, and the use of every stretch."""
        pairs = keep[self.windows.pair_window]
        stretches = np.ones(len(self.problem.stretches), dtype=bool)
        return np.concatenate([keep, stretches, np.tile(pairs, self.chances)])


def build_program(problem: Problem, windows: Windows) -> Program:
    """The program of these windows."""
    visits, stretches, pairs = len(windows), len(problem.stretches), len(windows.pair_person)
    chances = problem.worth.chances
    size = visits + stretches + pairs * chances
    rows = Rows(size)
    _call_rows(rows, problem, windows, visits + stretches)
    calls = len(rows)
    limit_rows(rows, problem, windows)
    arranged = np.array([w.stretch == FIXED for w in windows.windows], dtype=bool)
    lower = np.zeros(size)
    lower[:visits] = arranged
    lower[visits + np.array(sorted(in_use(problem)), dtype=np.int64)] = 1
    whole = np.arange(size) < visits + stretches
    price = np.where(arranged, 0.0, problem.worth.hour * problem.cost_h)
    gain = np.concatenate([-price, np.zeros(stretches), pair_gain(problem, windows).ravel()])
    return Program(
        problem=problem,
        windows=windows,
        gain=gain,
        matrix=rows.matrix,
        upper=rows.upper,
        lower=lower,
        whole=whole,
        calls=calls,
    )


def pair_gain(problem: Problem, windows: Windows) -> Floats:
    """float[chances, pairs]: worth of each call."""
    days = np.array([w.day for w in windows.windows], dtype=np.float64)
    undiscounted = problem.weight[windows.pair_person] * soon(days, problem.worth)[windows.pair_window]
    gain: Floats = np.outer(reach_probability(problem.worth.release, problem.worth.chances), undiscounted)
    return gain


def _call_rows(rows: Rows, problem: Problem, windows: Windows, first: int) -> None:
    """Rows that tie calls to visits, one k-th chance for each person, and places."""
    window, person = windows.pair_window, windows.pair_person
    pairs, chances = len(person), problem.worth.chances
    pair = np.arange(pairs)
    every = first + np.arange(pairs * chances)
    rows.add(
        np.concatenate([np.tile(pair, chances), pair]),
        np.concatenate([every, window]),
        np.concatenate([np.ones(pairs * chances), -np.ones(pairs)]),
        np.zeros(pairs),
    )
    called, number = np.unique(person, return_inverse=True)
    for k in range(chances):
        rows.add(number, first + k * pairs + pair, 1.0, np.ones(len(called)))
    room = np.array([w.places for w in windows.windows], dtype=np.float64)
    rows.add(
        np.concatenate([np.tile(window, chances), np.arange(len(room))]),
        np.concatenate([every, np.arange(len(room))]),
        np.concatenate([np.ones(pairs * chances), -room]),
        np.zeros(len(room)),
    )


def restricted(program: Program, keep: Flags) -> Program:
    """The same program with the windows kept only."""
    chosen = tuple(w for w, included in zip(program.windows.windows, keep, strict=True) if included)
    return build_program(program.problem, Windows(chosen, program.windows.starts))


def solved(program: Program, *, gap: float, seconds: float, calls_whole: bool) -> Any:
    """The answer of `scipy.optimize.milp` to a program."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    return milp(
        -program.gain,
        integrality=np.ones(len(program.gain), dtype=np.int64)
        if calls_whole
        else program.whole.astype(np.int64),
        bounds=Bounds(program.lower, 1.0),
        constraints=LinearConstraint(program.matrix, -np.inf, program.upper),
        options={"time_limit": max(seconds, 0.1), "mip_rel_gap": gap},
    )
