"""Exact limits and tails for a count out of a total."""

from math import log

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]


def exact_limit(probability: float, centre: float, totals: Counts) -> Floats:
    """The share that a binomial count stays under with this chance, interpolated between whole counts.

        r = least count with F(r) >= p,   a = (F(r) - p) / (F(r) - F(r - 1)),   limit = (r - a) / n

    A limit under 0 says that even no event at all is not unusual.

    - `probability` p in (0, 1). `centre` in (0, 1). `totals` n: int64[k] >= 1.

    Returns float64[k], shares, at most 1.
    Source: Spiegelhalter 2005, Stat Med 24:1185-1202, appendix (formula from memory).

    >>> exact_limit(0.975, 0.05, np.array([50, 100])).round(5)
    array([0.10983, 0.09191])
    """
    from scipy.special import bdtr

    below, r = np.full(len(totals), -1), np.asarray(totals, np.int64)
    # F(below) < p <= F(r) throughout.
    while (open_ := r - below > 1).any():
        middle = (below + r) // 2
        reached = bdtr(middle, totals, centre) >= probability
        r, below = np.where(open_ & reached, middle, r), np.where(open_ & ~reached, middle, below)
    # Interpolated between the whole counts r - 1 and r.
    f_r = bdtr(r, totals, centre)
    f_before = np.where(r > 0, bdtr(np.maximum(r - 1, 0), totals, centre), 0.0)
    return np.asarray((r - (f_r - probability) / (f_r - f_before)) / totals)


def outside_probability(low: float, high: float, centre: float, total: int, dispersion: float = 1.0) -> float:
    """The chance that a steady share falls outside its limits.

        P(X < n low) + P(X > n high),   X beta-binomial of mean n p and variance dispersion n p (1 - p)

    which is the binomial where `dispersion` is 1.

    - `low`, `high`: shares. `centre` p in [0, 1]. `total` n >= 1. `dispersion` >= 1.

    >>> round(outside_probability(0.0, 0.0794, 0.02, 50), 3)  # 3 sd, yet far more than 0.3 % where one event is usual
    0.018
    """
    if not 0.0 < centre < 1.0:
        return 0.0
    cumulative = np.cumsum(np.exp(_log_probabilities(centre, total, dispersion)))
    # A count exactly on a limit is inside, rounding of the limit or not.
    under = int(np.ceil(total * low - 1e-9)) - 1
    upto = int(np.floor(total * high + 1e-9))
    tail_low = float(cumulative[min(under, total)]) if under >= 0 else 0.0
    tail_high = 1.0 - float(cumulative[upto]) if upto < total else 0.0
    return tail_low + max(0.0, tail_high)


def _log_probabilities(centre: float, total: int, dispersion: float) -> Floats:
    """log P(X = k), k = 0 .. n, by the ratio of neighbours."""
    from scipy.special import betaln

    k = np.arange(total)
    correlation = (dispersion - 1.0) / (total - 1) if total > 1 else 0.0
    if correlation < 1e-12:
        ratio = np.log((total - k) / (k + 1)) + log(centre / (1.0 - centre))
        return np.concatenate([[0.0], np.cumsum(ratio)]) + total * log(1.0 - centre)
    # All readings of a point alike is as correlated as they can be.
    size = 1.0 / min(correlation, 0.999) - 1.0
    a, b = centre * size, (1.0 - centre) * size
    ratio = np.log((total - k) / (k + 1) * (k + a) / (total - k - 1 + b))
    return np.concatenate([[0.0], np.cumsum(ratio)]) + float(betaln(a, total + b) - betaln(a, b))
