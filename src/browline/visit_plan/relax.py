"""The bound: the program with visits allowed in parts, which no plan can pass, and the prices that prove it.

By an interior-point method: the simplex method needs ten times as long here, for the plan has many equal ways of
calling the same people.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np

from browline.visit_plan.problem import Flags, Floats, Ints
from browline.visit_plan.program import Program


@dataclass(frozen=True)
class Relaxed:
    """`bound`: no plan is worth more. `visits` float[windows]: part of each visited. `margin` float[windows].

    A plan that visits window v is worth ``bound + margin_v`` at most.
    """

    bound: float
    visits: Floats
    margin: Floats


def relaxed(program: Program, seconds: float) -> Relaxed | None:
    """Solve the program without whole numbers; None where the time does not suffice."""
    from scipy.optimize import linprog

    # SciPy takes the pairs as a matrix too, which its stubs do not say.
    bounds = np.column_stack([program.lower, np.ones(len(program.lower))])
    answer = linprog(
        -program.gain,
        A_ub=program.matrix,
        b_ub=program.upper,
        bounds=cast(Sequence[tuple[float, float]], bounds),
        method="highs-ipm",
        options={"time_limit": max(seconds, 0.1)},
    )
    if answer.status != 0 or answer.x is None or answer.fun is None:
        return None
    visits: Floats = answer.x[: len(program.windows)]
    return Relaxed(-float(answer.fun), visits, margins(program, -answer.ineqlin.marginals))


def margins(program: Program, prices: Floats) -> Floats:
    """float[windows]: what a visit brings at these prices, at most 0 for those not in the relaxed plan.

    The best calls of a window at the prices of people, as many as there are places, less the price of its hours
    and of the limits it uses. By weak duality a plan with the visit is worth the bound plus this at most.
    """
    windows = program.windows
    pairs = len(windows.pair_person)
    limits = slice(program.calls, None)
    levels = slice(pairs, program.calls - len(windows))
    charged = program.matrix[limits].T @ prices[limits]
    people = (program.matrix[levels].T @ prices[levels])[program.first_call :]
    net = np.maximum((program.pair_gain - people.reshape(program.chances, pairs)).max(axis=0), 0.0)
    room = np.array([w.places for w in windows.windows], dtype=np.int64)
    calls = np.bincount(windows.pair_window, net * best_places(windows.pair_window, net, room), len(windows))
    out: Floats = program.gain[: len(windows)] - charged[: len(windows)] + calls
    return out


def best_places(window: Ints, value: Floats, room: Ints) -> Flags:
    """bool[pairs]: whether a pair is among the best of its window, as many as it has places."""
    order = np.lexsort((-value, window))
    sorted_window = window[order]
    rank = np.arange(len(order)) - np.searchsorted(sorted_window, sorted_window)
    out = np.zeros(len(order), dtype=bool)
    out[order] = rank < room[sorted_window]
    return out
