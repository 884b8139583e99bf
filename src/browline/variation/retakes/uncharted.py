"""Were first readings left off the chart? Readings that open an episode at the retake site tell.

A second look whose first reading was not charted stands alone at the retake site, in patients picked because their
first reading surprised. Honest readings alone at that site should be what the pairs say: with psi the first reading
plus its doubly robust change, and b its regression on the charted past h,

    r - h'b has mean 0 over readings r that open an episode at the retake site

Only the mean is looked at. How widely such readings spread would also tell, but in trials it called sound readings
with long-tailed errors unsound too often. Retakes triggered from the low and the high side alike pass unseen.
"""

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.retakes.cluster_robust import standard_error
from browline.variation.retakes.first_readings import Firsts
from browline.variation.retakes.standardised import Standardised

FEWEST_ALONE, FEWEST_STAYS = 40, 20


def uncharted(source: Standardised, alone: Firsts) -> tuple[float, float] | None:
    """Mean of r - h'b in °C and its z, b's own doubt counted; None where fewer than 40 openings in 20 stays.

    `alone`: first readings of episodes at the site that `source` retakes at.
    """
    if len(alone.value) < FEWEST_ALONE or len(np.unique(alone.stay)) < FEWEST_STAYS:
        return None
    past, opening = _history_regressors(source.given), _history_regressors(alone)
    retake = source.given.value + source.terms
    b = np.linalg.lstsq(past, retake, rcond=None)[0]
    residual = alone.value - opening @ b
    share = past @ np.linalg.lstsq(past.T @ past, opening.mean(axis=0), rcond=None)[0]
    parts = (residual - residual.mean()) / len(residual)
    sd = standard_error([(alone.stay, parts), (source.given.stay, -share * (retake - past @ b))])
    return (float(residual.mean()), float(residual.mean()) / sd) if sd > 0 else None


def _history_regressors(given: Firsts) -> Floats:
    return np.column_stack([np.ones(len(given.value)), given.history])
