"""What deciding now may cost, and when the readings decide it.

Acting as for a fever, as for a low core, or as for neither: a wrong act costs 1, missing one costs its own price.
"""

import numpy as np
from numpy.typing import NDArray

from browline.questioned.kernel import Floats
from browline.questioned.problem import Costs
from browline.questioned.result import Outcome

ACTS = ("fever", "low", "neither")
DECIDED = 0.95


def losses(fever: Floats | float, low: Floats | float, costs: Costs) -> Floats:
    """Expected loss float64[3, ...] of each act of `ACTS`, from the probabilities of a fever and of a low core."""
    missed = costs.missed_fever * fever, costs.missed_low * low
    return np.stack([1.0 - fever + missed[1], 1.0 - low + missed[0], missed[0] + missed[1]])


def decided(fever: Floats | float, low: Floats | float) -> NDArray[np.bool_]:
    """Whether probabilities leave nothing open: one line surely reached, or surely neither."""
    surest = np.maximum(fever, low)
    return np.asarray((surest >= DECIDED) | (surest <= 1.0 - DECIDED))


def outcome(fever: float, low: float) -> Outcome:
    """The outcome that the probabilities allow."""
    if fever >= DECIDED:
        return Outcome.AT_OR_OVER
    if low >= DECIDED:
        return Outcome.LOW
    return Outcome.UNDER if decided(fever, low) else Outcome.NOT_SETTLED
