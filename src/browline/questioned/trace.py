"""The heaviest hypotheses once more, carrying copies of core and site at each reading: what moved which reading."""

from dataclasses import dataclass

import numpy as np

from browline.questioned import transition
from browline.questioned.kernel import Floats, Hypotheses, move, take
from browline.questioned.problem import Problem
from browline.questioned.timeline import Beam, Onset, Taken, Timeline, begin_surges, beginning

# So many are traced, fewer where there are many readings: the cost grows with the square of these.
MOST, LEAST, WORK = 400, 150, 3000


@dataclass(frozen=True)
class Traced:
    """The heaviest hypotheses, their weights float64[K] summing to 1, and what each says of every reading.

    All float64[K, n], readings earliest first: the core's `mean` and `var` when it was taken, and the parts of reading
    less core in °C: `lag`, `site`, `condition`, `instrument`, `slip` (with the scatter of the reading where it slipped)
    and `scatter`. `which` int64[K, n, 3]: condition, state and slip.
    """

    weight: Floats
    mean: Floats
    var: Floats
    lag: Floats
    site: Floats
    condition: Floats
    instrument: Floats
    slip: Floats
    scatter: Floats
    which: np.ndarray


def trace(problem: Problem, timeline: Timeline, beam: Beam) -> Traced:
    """Follow the heaviest hypotheses along their own paths."""
    best = np.argsort(-beam.log_weight)[: max(LEAST, min(MOST, WORK // len(problem.readings)))]
    weight = np.exp(beam.log_weight[best])
    first = beginning(problem, timeline.layout).hypotheses.select(beam.start[best])
    size, n, d = len(best), len(problem.readings), first.x.shape[1]
    hypotheses = first._replace(
        copies=np.zeros((size, 3 * n)), copy_var=np.zeros((size, 3 * n)), copy_cov=np.zeros((size, 3 * n, d))
    )
    which = beam.path[best].copy()
    for k, event in enumerate(timeline.events):
        move(hypotheses, timeline.forward[k], timeline.noise[k])
        if isinstance(event, Onset):
            begin_surges(hypotheses, timeline.onset[beam.start[best]] == event.onset, timeline.surge)
        else:
            take(hypotheses, which[:, event.reading].copy(), event.place, event.observation)
            _copy(hypotheses, event)
            which[:, event.reading, 0] = hypotheses.condition[:, event.place.site]
    return _parts(timeline, hypotheses, weight / weight.sum(), which)


def _copy(hypotheses: Hypotheses, event: Taken) -> None:
    """Copy the core, the temperature of the site and the size of its condition, as they are after the reading."""
    for k, part in enumerate(
        (transition.CORE, event.place.temperature, event.place.size), start=3 * event.reading
    ):
        hypotheses.copies[:, k] = hypotheses.x[:, part]
        hypotheses.copy_var[:, k] = hypotheses.P[:, part, part]
        hypotheses.copy_cov[:, k] = hypotheses.P[:, part]


def _parts(timeline: Timeline, hypotheses: Hypotheses, weight: Floats, which: np.ndarray) -> Traced:
    """Reading less core, taken apart: the parts of every reading sum to it."""
    core, temperature, condition = (hypotheses.copies[:, k::3] for k in range(3))
    taken = sorted((e for e in timeline.events if isinstance(e, Taken)), key=lambda e: e.reading)
    slope = np.array([e.observation.slope for e in taken])
    offset = np.array([e.observation.offset for e in taken])
    value = np.array([e.observation.y for e in taken])
    difference = hypotheses.x[:, [e.place.difference for e in taken]]
    lag = slope * (temperature - core)
    site = offset + (slope - 1.0) * (core - 37.0) + difference
    instrument = (
        hypotheses.x[:, [e.place.offset for e in taken]] + hypotheses.x[:, [e.place.extra for e in taken]]
    )
    residual = value - core - lag - site - condition - instrument
    slipped = which[:, :, 2] > 0
    return Traced(
        weight=weight, mean=core, var=hypotheses.copy_var[:, 0::3], lag=lag, site=site, condition=condition,
        instrument=instrument, slip=np.where(slipped, residual, 0.0), scatter=np.where(slipped, 0.0, residual),
        which=which,
    )  # fmt: skip
