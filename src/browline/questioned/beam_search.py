"""The search: hypotheses branch at every reading, the heaviest stay, and the weight of the others is summed."""

import numpy as np
from numpy.typing import NDArray

from browline.questioned.kernel import Floats, move, take, weigh
from browline.questioned.problem import Problem
from browline.questioned.timeline import Beam, Onset, Taken, Timeline, begin_surges, beginning, build_timeline

# A hypothesis lighter than this proportion of the whole is dropped even where there is room.
LIGHTEST = 1e-9


def search(problem: Problem, width: int) -> tuple[Timeline, Beam]:
    """Every reading taken in, at most `width` hypotheses after each."""
    timeline = build_timeline(problem)
    beam = beginning(problem, timeline.layout)
    for k, event in enumerate(timeline.events):
        move(beam.hypotheses, timeline.forward[k], timeline.noise[k])
        if isinstance(event, Onset):
            begin_surges(beam.hypotheses, timeline.onset[beam.start] == event.onset, timeline.surge)
        else:
            beam = _branched(beam, event, width)
    move(beam.hypotheses, timeline.forward[-1], timeline.noise[-1])
    return timeline, beam


def _branched(beam: Beam, event: Taken, width: int) -> Beam:
    weights = weigh(beam.hypotheses, beam.log_weight, event.place, event.observation)
    flat = weights.ravel()
    top = flat.max()
    relative = np.exp(flat - top)
    heaviest = _heaviest(relative, width)
    total, retained = relative.sum(), relative[heaviest].sum()
    parent, *branch = np.unravel_index(heaviest, weights.shape)
    taken = np.stack(branch, axis=1).astype(np.int64)
    hypotheses = beam.hypotheses.select(parent)
    take(hypotheses, taken, event.place, event.observation)
    path = beam.path[parent]
    path[:, event.reading] = taken
    return Beam(
        hypotheses=hypotheses,
        log_weight=flat[heaviest] - top - np.log(retained),
        start=beam.start[parent],
        path=path,
        left_out=1.0 - (1.0 - beam.left_out) * retained / total,
    )


def _heaviest(relative: Floats, width: int) -> NDArray[np.int64]:
    enough = np.flatnonzero(relative > LIGHTEST * relative.sum())
    if len(enough) <= width:
        return enough
    return enough[np.argpartition(relative[enough], -width)[-width:]]
