"""Did people come to read more alike? The sd between people of one ward, the same people before and after sign-off.

    tau^2 = [ sum_p (m_p - mean of ward)^2 - sum_p v_p (1 - 1 / n_w) ] / sum_w (n_w - 1)
    effect = (tau_after^2 - tau_before^2) / (tau_after + tau_before)

the method of moments: no law of people is asked for. Doubt by leaving one ward out at a time (clustered.py). Months
are not told apart here, so what spread people in all wards at once counts as sign-off's doing; say so beside it.
"""

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.training.clustered import FEWEST_WARDS, Estimate, absorbed
from browline.variation.training.measures import Measure, measure_of_change

BETWEEN_PEOPLE = "spread-between-people"


def spread_between_people(
    before: Floats, after: Floats, before_var: Floats, after_var: Floats, ward: Codes
) -> Measure:
    """By how much the sd between people changed, °C; None where fewer than three wards have two such people.

    - `before`, `after` float64[people], °C: a person's mean residual, NaN where not charted. `before_var`,
      `after_var`: sampling variances of these means, °C^2. `ward` int64[people], -1 for none.
    """
    both = np.isfinite(before) & np.isfinite(after) & (ward >= 0)
    _, group, size = np.unique(ward[both], return_inverse=True, return_counts=True)
    alone = size[group] < 2
    ward = ward[both][~alone]
    terms = [
        _excess(m[both][~alone], v[both][~alone], ward) for m, v in ((before, before_var), (after, after_var))
    ]
    wards, code, n = np.unique(ward, return_inverse=True, return_counts=True)
    enough = len(wards) >= FEWEST_WARDS
    estimate = (
        _jackknifed(np.array([np.bincount(code, t) for t in terms]), (n - 1).astype(float))
        if enough
        else None
    )
    return measure_of_change(BETWEEN_PEOPLE, estimate, "°C", "The spread between people", float, 2)


def _excess(mean: Floats, variance: Floats, ward: Codes) -> Floats:
    """Every person's share of the sum over squares, its sampling part taken off."""
    _, code, n = np.unique(ward, return_inverse=True, return_counts=True)
    centred = absorbed(mean[:, None], np.ones(len(mean)), ward)[:, 0]
    out: Floats = centred**2 - variance * (1 - 1 / n[code])
    return out


def _jackknifed(per_ward: Floats, below: Floats) -> Estimate:
    """The change of sd, from each ward's sums float64[2, W] before and after, and what they are divided by."""
    g = len(below)
    without = (per_ward.sum(1, keepdims=True) - per_ward) / (below.sum() - below)
    before, after = per_ward.sum(1) / below.sum()
    both = max(before, 0.0) ** 0.5 + max(after, 0.0) ** 0.5
    if both == 0:
        return Estimate(0.0, 0.0, 0.0, 1.0)
    apart = without[1] - without[0]
    variance = (g - 1) / g * float(((apart - apart.mean()) ** 2).sum())
    return Estimate.from_standard_error(float(after - before) / both, variance**0.5 / both, g - 1)
