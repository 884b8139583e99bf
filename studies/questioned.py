"""Made questioned readings answered by `solve`, for the studies: what was told, what was true, world by world.

The cases are played by tests/course/generator.py, which knows the model's specification but none of its code.
"""

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, fields
from functools import cache
from multiprocessing import get_context
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "course"))

CASES, CHUNK, BEAM = 20_000, 1000, 300
FEVER_C, LOW_C = 38.0, 35.0
LEAST_C, MOST_C = 25.0, 45.0


@dataclass(frozen=True)
class Told:
    """Columns of one world's cases. Of the core now: chances `fever`, `low`, the band; `core` is the truth.

    `misled` chance and `misled_true` of every reading told, end to end; `rule_c`: by the name of a simple rule, what it
    takes for the temperature; `apart_c`: between the highest and the lowest reading; `left_out`.
    """

    fever: np.ndarray
    low: np.ndarray
    band_low_c: np.ndarray
    band_high_c: np.ndarray
    core: np.ndarray
    misled: np.ndarray
    misled_true: np.ndarray
    higher_c: np.ndarray
    rectal_c: np.ndarray
    mean_c: np.ndarray
    last_c: np.ndarray
    repeat_c: np.ndarray
    safer_c: np.ndarray
    apart_c: np.ndarray
    left_out: np.ndarray


NEARER_C = 0.5
RULES = {
    "higher_c": "believe the higher",
    "rectal_c": "believe rectal, else the last",
    "mean_c": "believe the mean",
    "last_c": "believe the last",
    "repeat_c": "repeat the scan once, then the mean of both",
    "safer_c": "act on the safer reading",
    "nearer": "the mean, both lines 0.5 °C nearer",
}


@cache
def told(world, cases=CASES, seed=1):
    """The cases of a world with their answers; on every processor there is."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    seeds = [(world, seed, k, min(CHUNK, cases - k)) for k in range(0, cases, CHUNK)]
    with ProcessPoolExecutor(os.cpu_count(), mp_context=get_context("spawn")) as pool:
        return joined(pool.map(_chunk, seeds))


def joined(chunks):
    """Chunks end to end."""
    chunks = list(chunks)
    return Told(*(np.concatenate([getattr(c, f.name) for c in chunks]) for f in fields(Told)))


def _chunk(asked):
    from generator import played
    from plans import plans

    world, seed, first, cases = asked
    rng = np.random.default_rng([seed, first])
    made = plans(cases, rng, world.untrue)
    truth = played(made, rng, world)
    fit = np.all((truth.value >= LEAST_C) & (truth.value <= MOST_C) | ~made.there, axis=1)
    rows = [_row(made, truth, i) for i in np.flatnonzero(fit)]
    return Told(*(np.concatenate([np.atleast_1d(v) for v in column]) for column in zip(*rows, strict=True)))


def _row(made, truth, i):
    """One case, in the order of the columns."""
    from plans import MOST, REPEAT

    from browline.questioned import solve

    k = np.flatnonzero(made.there[i, :MOST])
    problem = made.problem(i, truth.value[i], fever_c=FEVER_C, low_c=LOW_C)
    result = solve(problem, steps=False, beam=BEAM)
    y = truth.value[i, k]
    rectal = [r.value_c for r in problem.readings if r.site == "rectal"]
    return (
        result.now.fever,
        result.now.low,
        result.now.low_c,
        result.now.high_c,
        truth.now[i],
        [m.chance for m in result.misled],
        truth.misled[i, k],
        y.max(),
        rectal[-1] if rectal else y[-1],
        y.mean(),
        y[-1],
        (y[0] + truth.value[i, REPEAT]) / 2,
        y[np.argmax(np.maximum(y - FEVER_C, LOW_C - y))],
        np.ptp(y),
        result.left_out,
    )


def decided(told, rule):
    """What a rule decides: 0 fever, 1 low, 2 neither."""
    estimate, nearer = (told.mean_c, NEARER_C) if rule == "nearer" else (getattr(told, rule), 0.0)
    return np.where(estimate >= FEVER_C - nearer, 0, np.where(estimate < LOW_C + nearer, 1, 2))


def expected_losses(fever, low, missed):
    """Of acting as for a fever, as for a low core, as for neither: [3, n]; a false alarm costs 1."""
    return np.stack([(1 - fever) + missed * low, (1 - low) + missed * fever, missed * (fever + low)])


def chosen(told, missed):
    """What the answer decides at this cost."""
    return expected_losses(told.fever, told.low, missed).argmin(axis=0)


def mean_loss(told, decision, missed, where):
    """What the decisions cost in truth, on average."""
    costs = expected_losses(told.core >= FEVER_C, told.core < LOW_C, missed)
    return costs[decision, np.arange(len(decision))][where].mean()
