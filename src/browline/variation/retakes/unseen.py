"""Did something that is not charted decide who was read again? The stay's next reading tells.

If the decision hangs on the charted past h only, then at equal h those retaken and those not go on alike. With
g(h) = E(next first reading | h) and e(h) = P(retaken | h), the product of what is left of both has mean 0,

    z = sum (T - e(h)) (next - g(h)) / sqrt(sum over stays (stay's sum)^2)

A wrong g does no harm where e is right, and the other way round. The amount is what is left of the next reading
among those retaken against those not, ``sum (T - e)(next - g) / sum (T - e)^2`` in °C.

Source: Shah & Peters 2020, Ann Stat 48:1514 (generalised covariance measure), summed by stay; from memory.
"""

import numpy as np

from browline.variation.retakes.cluster_robust import standard_error
from browline.variation.retakes.first_readings import Firsts
from browline.variation.retakes.splines import NaturalSpline
from browline.variation.retakes.standardised import CHANCE_KNOTS, SURPRISE_KNOTS, Standardised

FEWEST_RETAKEN_FOLLOWED, FEWEST_STAYS = 40, 20


def unseen(source: Standardised) -> tuple[float, float] | None:
    """Amount in °C and z; None where fewer than 40 retaken readings, in 20 stays, have a next one."""
    given = source.given
    followed = np.isfinite(given.following)
    both = followed & given.retaken
    if both.sum() < FEWEST_RETAKEN_FOLLOWED or len(np.unique(given.stay[both])) < FEWEST_STAYS:
        return None
    residual = (given.retaken - source.chance)[followed]
    product = residual * _next_residual(given)[followed]
    sd = standard_error([(given.stay[followed], product)])
    spread = float(residual @ residual)
    return (float(product.sum()) / spread, float(product.sum()) / sd) if sd > 0 and spread > 0 else None


def _next_residual(given: Firsts) -> "np.typing.NDArray[np.float64]":
    """next - g(h), with g by regression on splines of value and surprise and the past; NaN where there is no next."""
    value = NaturalSpline.through(given.value, CHANCE_KNOTS).columns(given.value)
    surprise = NaturalSpline.through(given.surprise, SURPRISE_KNOTS).columns(given.surprise)
    columns = np.column_stack([value, surprise[:, 1:], given.history])
    followed = np.isfinite(given.following)
    g = np.linalg.lstsq(columns[followed], given.following[followed], rcond=None)[0]
    return np.asarray(given.following - columns @ g)
