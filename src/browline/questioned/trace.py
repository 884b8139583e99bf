"""The heaviest hypotheses once more, carrying copies of core and site at each reading: what moved which reading."""

from dataclasses import dataclass

import numpy as np

from browline.questioned import transition
from browline.questioned.kernel import Floats, Hypotheses, move, take
from browline.questioned.problem import Problem
from browline.questioned.timeline import Found, Onset, Taken, Timeline, begin_surges, beginning

# So many are traced, fewer where there are many readings: the cost grows with the square of these.
MOST, LEAST, WORK = 400, 150, 3000


@dataclass(frozen=True)
class Traced:
    """The heaviest hypotheses, their weights float64[K] summing to 1, and what each holds of every reading.

    All float64[K, n], readings earliest first: the core's `mean` and `var` when it was taken, and the parts of reading
    less core in °C: `lag`, `site`, `condition`, `instrument`, `slip` (with the scatter of the reading where it slipped)
    and `scatter`. `which` int64[K, n, 3]: condition, state and slip that held.
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


def trace(problem: Problem, timeline: Timeline, found: Found) -> Traced:
    """Follow the heaviest hypotheses along their own paths."""
    best = np.argsort(-found.log_weight)[: max(LEAST, min(MOST, WORK // len(problem.readings)))]
    weight = np.exp(found.log_weight[best])
    first = beginning(problem, timeline.layout).held.of(found.start[best])
    many, n, d = len(best), len(problem.readings), first.x.shape[1]
    held = first._replace(
        kept=np.zeros((many, 3 * n)), kept_var=np.zeros((many, 3 * n)), kept_with=np.zeros((many, 3 * n, d))
    )
    which = found.path[best].copy()
    for k, event in enumerate(timeline.events):
        move(held, timeline.forward[k], timeline.noise[k])
        if isinstance(event, Onset):
            begin_surges(held, timeline.onset[found.start[best]] == event.onset, timeline.surge)
        else:
            take(held, which[:, event.reading].copy(), event.place, event.seen)
            _keep(held, event)
            which[:, event.reading, 0] = held.condition[:, event.place.site]
    return _parts(timeline, held, weight / weight.sum(), which)


def _keep(held: Hypotheses, event: Taken) -> None:
    """Copies of the core, of what the site shows and of the size of its condition, as they stand after the reading."""
    for k, part in enumerate((transition.CORE, event.place.shown, event.place.size), start=3 * event.reading):
        held.kept[:, k] = held.x[:, part]
        held.kept_var[:, k] = held.P[:, part, part]
        held.kept_with[:, k] = held.P[:, part]


def _parts(timeline: Timeline, held: Hypotheses, weight: Floats, which: np.ndarray) -> Traced:
    """Reading less core, taken apart: the parts of every reading sum to it."""
    core, shown, condition = (held.kept[:, k::3] for k in range(3))
    taken = sorted((e for e in timeline.events if isinstance(e, Taken)), key=lambda e: e.reading)
    slope = np.array([e.seen.slope for e in taken])
    offset = np.array([e.seen.offset for e in taken])
    value = np.array([e.seen.y for e in taken])
    own = held.x[:, [e.place.own for e in taken]]
    lag = slope * (shown - core)
    site = offset + (slope - 1.0) * (core - 37.0) + own
    instrument = held.x[:, [e.place.offset for e in taken]] + held.x[:, [e.place.extra for e in taken]]
    rest = value - core - lag - site - condition - instrument
    slipped = which[:, :, 2] > 0
    return Traced(
        weight=weight, mean=core, var=held.kept_var[:, 0::3], lag=lag, site=site, condition=condition,
        instrument=instrument, slip=np.where(slipped, rest, 0.0), scatter=np.where(slipped, 0.0, rest), which=which,
    )  # fmt: skip
