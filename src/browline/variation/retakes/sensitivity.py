"""How the answer moves if some of the first readings that led to a retake were never charted.

Assumption: the first readings left out are those farthest from what the stay had led to expect, on the side most
retakes were triggered from, so each of the farthest pairs that were charted stands for others like it. Of the
pairs, ``sum (1 - e_0 / e)`` were triggered, e_0 the chance of an unremarkable reading; if a share q of triggering
first readings is missing, u = triggered q / (1 - q) are, and with d_u the mean change of the u farthest pairs

    offset(q) = (n offset + u d_u) / (n + u)

A share above 0.4 is not shown: there would be as many missing as charted.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.retakes.direction import Direction

SHARES = (0.0, 0.1, 0.2, 0.3, 0.4)
UNREMARKABLE = 0.10
FEWEST_FARTHEST = 10


@dataclass(frozen=True)
class Moved:
    """One order's offset under a share of uncharted first readings, °C, and each first reading's pull."""

    offset: float
    pull: Floats


def moved(order: Direction, share: float) -> Moved:
    """The offset of one order if this share of the first readings that led to a retake was not charted."""
    given = order.source.given
    triggered, side = _triggered(order)
    missing = triggered * share / (1 - share)
    far = side * given.surprise
    there = given.retaken & (far > 0)
    if missing <= 0 or there.sum() < FEWEST_FARTHEST:
        return Moved(order.offset, order.pull)
    count = int(min(max(np.ceil(missing), FEWEST_FARTHEST), there.sum()))
    like = there & (far >= np.sort(far[there])[-count])
    change = float(given.change[like].mean())
    weight = missing / (len(given.value) + missing)
    offset = (1 - weight) * order.offset + weight * order.sign * change
    parts = np.where(like, order.sign * (given.change - change) / like.sum(), 0.0)
    return Moved(offset, (1 - weight) * order.pull + weight * parts)


def _triggered(order: Direction) -> tuple[float, int]:
    """How many of the pairs were triggered, and on which side of the expected most of them lie (+1 or -1)."""
    given, chance = order.source.given, order.source.chance
    background = float(np.quantile(chance, UNREMARKABLE))
    excess = np.where(given.retaken, np.maximum(1 - background / chance, 0.0), 0.0)
    side = 1 if excess[given.surprise > 0].sum() > excess[given.surprise < 0].sum() else -1
    return float(excess.sum()), side
