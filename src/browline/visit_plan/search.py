"""The search: the windows worth looking at, given whole numbers by HiGHS, and the bound of the whole problem.

A window left out has a `margin`, so that a plan which uses it is worth at most ``bound + margin``. With B' the bound
of the search among the windows kept,

    no plan is worth more than  min(bound, max(B', bound + largest margin left out)).
"""

from dataclasses import dataclass

import numpy as np

from browline.visit_plan.chances import reach_probability
from browline.visit_plan.polish import polished
from browline.visit_plan.problem import Flags, Ints
from browline.visit_plan.program import Program, restricted, solved
from browline.visit_plan.relax import Relaxed, relaxed
from browline.visit_plan.windows import FIXED

WHOLE_PAIRS, SHORT_PAIRS = 3000, 6000
"""Up to so many pairs of a window and a person everything is searched at once; else a short list of so many."""
WHOLE_CALLS = 1500
"""Up to so many calls are whole numbers in the search as well; beyond, they nearly always come out whole."""


@dataclass(frozen=True)
class Choice:
    """`chosen`: numbers of the windows to visit, None where none was found in time. `bound`: no plan is worth more.

    `worth`: what the windows are worth as the search counted them.
    """

    chosen: Ints | None
    bound: float
    worth: float = -np.inf


def search(program: Program, *, gap: float, seconds: float) -> Choice:
    """Choose windows; `gap` is the relative gap asked for. The two steps have two fifths of the `seconds` each.

    What is left is for choosing each week anew, where the plan is not near enough to the bound.
    """
    if len(program.windows.pair_person) <= WHOLE_PAIRS:
        return _whole_numbers(program, gap / 4, seconds)
    relax = relaxed(program, 0.4 * seconds)
    if relax is None:
        return Choice(None, ceiling(program))
    keep = short_list(program, relax)
    choice = _whole_numbers(restricted(program, keep), gap / 4, 0.4 * seconds)
    outside = relax.bound + float(relax.margin[~keep].max(initial=-np.inf))
    bound = min(relax.bound, max(choice.bound, outside))
    if choice.chosen is None:
        return Choice(None, bound)
    chosen = np.flatnonzero(keep)[choice.chosen]
    if bound - choice.worth > gap * bound:
        chosen = polished(program, chosen, choice.worth, relax.margin, 0.2 * seconds)
    return Choice(chosen, bound)


def short_list(program: Program, relax: Relaxed) -> Flags:
    """bool[windows]: those of the relaxed plan and those arranged, then by margin while pairs are few enough."""
    windows = program.windows.windows
    must = np.array([w.stretch == FIXED for w in windows]) | (relax.visits > 1e-6)
    order = np.lexsort((np.arange(len(windows)), -relax.margin, ~must))
    size = np.cumsum([len(windows[v].who) for v in order])
    keep = must.copy()
    keep[order[size <= SHORT_PAIRS]] = True
    return keep


def ceiling(program: Program) -> float:
    """A bound that needs no solver: as if everybody had every chance counted on the first day."""
    problem, called = program.problem, np.unique(program.windows.pair_person)
    every = reach_probability(problem.worth.release, problem.worth.chances).sum()
    return float(problem.weight[called].sum() * every)


def _whole_numbers(program: Program, gap: float, seconds: float) -> Choice:
    """HiGHS on a program: windows, and the bound it proved."""
    answer = solved(program, gap=gap, seconds=seconds, calls_whole=program.gain.size <= WHOLE_CALLS)
    bound = ceiling(program) if answer.mip_dual_bound is None else -float(answer.mip_dual_bound)
    if answer.x is None:
        return Choice(None, bound)
    visits = answer.x[: len(program.windows)]
    return Choice(np.flatnonzero(visits > 0.5), bound, -float(answer.fun))
