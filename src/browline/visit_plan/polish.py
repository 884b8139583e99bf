"""A plan made better one week at a time: the visits of the other weeks stay, those of one are chosen anew."""

from dataclasses import replace

import numpy as np

from browline.visit_plan.problem import Floats, Ints
from browline.visit_plan.program import Program, restricted, solved
from browline.visit_plan.windows import FIXED

WEEK_PAIRS = 3000
GAP = 5e-4


def polished(program: Program, chosen: Ints, worth: float, margin: Floats, seconds: float) -> Ints:
    """The windows chosen after each week was chosen anew once, never worth less than `worth`."""
    weeks = sorted({program.problem.week(w.day) for w in program.windows.windows})
    for week in weeks:
        better = _week(program, chosen, margin, week, seconds / len(weeks))
        if better is not None and better[0] > worth + 1e-9:
            worth, chosen = better
    return chosen


def _week(
    program: Program, chosen: Ints, margin: Floats, week: int, seconds: float
) -> tuple[float, Ints] | None:
    """The best of one week among its windows of largest margin, with what it makes the whole worth."""
    windows = program.windows.windows
    in_plan = np.zeros(len(windows), dtype=bool)
    in_plan[chosen] = True
    in_week = np.array([program.problem.week(w.day) == week and w.stretch != FIXED for w in windows])
    others = np.flatnonzero(in_week & ~in_plan)
    others = others[np.argsort(-margin[others], kind="stable")]
    size = np.cumsum([len(windows[v].who) for v in others])
    keep = in_plan.copy()
    keep[others[size <= WEEK_PAIRS]] = True
    small = restricted(program, keep)
    lower = small.lower.copy()
    lower[: len(small.windows)] = (in_plan & ~in_week)[keep]
    answer = solved(replace(small, lower=lower), gap=GAP, seconds=seconds, calls_whole=False)
    if answer.x is None:
        return None
    return -float(answer.fun), np.flatnonzero(keep)[answer.x[: len(small.windows)] > 0.5]
