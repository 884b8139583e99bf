"""What deciding now may cost, and when the readings have settled it.

Acting as for a fever, as for a low core, or as for neither: a wrong act costs 1, missing one costs its own price.
"""

import numpy as np
from numpy.typing import NDArray

from browline.questioned.kernel import Floats
from browline.questioned.problem import Costs
from browline.questioned.result import Outcome

ACTS = ("fever", "low", "neither")
SETTLED = 0.95


def losses(fever: Floats | float, low: Floats | float, costs: Costs) -> Floats:
    """Expected loss float64[3, ...] of each act of `ACTS`, from the chances of a fever and of a low core."""
    missed = costs.missed_fever * fever, costs.missed_low * low
    return np.stack([1.0 - fever + missed[1], 1.0 - low + missed[0], missed[0] + missed[1]])


def settled(fever: Floats | float, low: Floats | float) -> NDArray[np.bool_]:
    """Whether chances leave nothing open: one line surely reached, or surely neither."""
    surest = np.maximum(fever, low)
    return np.asarray((surest >= SETTLED) | (surest <= 1.0 - SETTLED))


def outcome(fever: float, low: float) -> Outcome:
    """What the chances allow to be said."""
    if fever >= SETTLED:
        return Outcome.AT_OR_OVER
    if low >= SETTLED:
        return Outcome.LOW
    return Outcome.UNDER if settled(fever, low) else Outcome.NOT_SETTLED
