"""The search: hypotheses branch at every reading, the heaviest are kept, and what is let go is counted."""

import numpy as np
from numpy.typing import NDArray

from browline.questioned.kernel import Floats, move, take, weigh
from browline.questioned.problem import Problem
from browline.questioned.timeline import Found, Onset, Taken, Timeline, begin_surges, beginning, timeline_of

# A hypothesis lighter than this share of the whole is let go even where there is room.
LIGHTEST = 1e-9


def search(problem: Problem, beam: int) -> tuple[Timeline, Found]:
    """Every reading taken in, at most `beam` hypotheses kept after each."""
    timeline = timeline_of(problem)
    found = beginning(problem, timeline.layout)
    for k, event in enumerate(timeline.events):
        move(found.held, timeline.forward[k], timeline.noise[k])
        if isinstance(event, Onset):
            begin_surges(found.held, timeline.onset[found.start] == event.onset, timeline.surge)
        else:
            found = _branched(found, event, beam)
    move(found.held, timeline.forward[-1], timeline.noise[-1])
    return timeline, found


def _branched(found: Found, event: Taken, beam: int) -> Found:
    weights = weigh(found.held, found.log_weight, event.place, event.seen)
    flat = weights.ravel()
    top = flat.max()
    relative = np.exp(flat - top)
    kept = _heaviest(relative, beam)
    total, held_on = relative.sum(), relative[kept].sum()
    parent, *branch = np.unravel_index(kept, weights.shape)
    taken = np.stack(branch, axis=1).astype(np.int64)
    held = found.held.of(parent)
    take(held, taken, event.place, event.seen)
    path = found.path[parent]
    path[:, event.reading] = taken
    return Found(
        held=held,
        log_weight=flat[kept] - top - np.log(held_on),
        start=found.start[parent],
        path=path,
        left_out=1.0 - (1.0 - found.left_out) * held_on / total,
    )


def _heaviest(relative: Floats, beam: int) -> NDArray[np.int64]:
    enough = np.flatnonzero(relative > LIGHTEST * relative.sum())
    if len(enough) <= beam:
        return enough
    return enough[np.argpartition(relative[enough], -beam)[-beam:]]
