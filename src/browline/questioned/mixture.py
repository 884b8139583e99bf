"""A mixture of normal distributions: its probabilities beyond a line and its quantiles."""

import numpy as np
from scipy.special import ndtr

from browline.questioned.kernel import Floats
from browline.questioned.result import Core


def probability_over(weight: Floats, mean: Floats, sd: Floats, line: float) -> float:
    """P(x >= line) of a mixture; `weight`, `mean`, `sd` float64[K], weights summing to 1."""
    return float(weight @ ndtr((mean - line) / sd))


def quantile(weight: Floats, mean: Floats, sd: Floats, proportion: float) -> float:
    """The value under which `proportion` (0 to 1) of a mixture lies, to 1e-4, by halving; arrays float64[K]."""
    low, high = float((mean - 9.0 * sd).min()), float((mean + 9.0 * sd).max())
    while high - low > 1e-4:
        middle = 0.5 * (low + high)
        if 1.0 - probability_over(weight, mean, sd, middle) < proportion:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def core(weight: Floats, mean: Floats, var: Floats, fever_c: float, low_c: float) -> Core:
    """The core at one moment from a mixture of normal distributions, float64[K] each."""
    sd = np.sqrt(np.maximum(var, 1e-12))
    return Core(
        mean_c=float(weight @ mean),
        low_c=quantile(weight, mean, sd, 0.025),
        high_c=quantile(weight, mean, sd, 0.975),
        fever=probability_over(weight, mean, sd, fever_c),
        low=probability_over(weight, -mean, sd, -low_c),
    )
