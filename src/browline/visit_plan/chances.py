"""Chances to come: how likely somebody is reached by their k-th chance, and how many sessions a group needs.

Each chance is taken with the same probability r, independently:

    P(reached at the k-th chance) = r (1 − r)^(k−1)        P(reached by k) = 1 − (1 − r)^k
"""

from math import ceil, log

import numpy as np

from browline.visit_plan.problem import Floats, Ints, Worth


def reach_probability(release: float, chances: int) -> Floats:
    """float[chances]: probability of being reached at each chance and not before.

    >>> [round(float(p), 3) for p in reach_probability(0.6, 3)]
    [0.6, 0.24, 0.096]
    """
    out: Floats = release * (1 - release) ** np.arange(chances, dtype=np.float64)
    return out


def reached(release: float, chances: Ints) -> Floats:
    """float[people]: probability of being reached with so many chances.

    >>> [round(float(p), 2) for p in reached(0.6, np.array([0, 1, 2]))]
    [0.0, 0.6, 0.84]
    """
    out: Floats = 1 - (1 - release) ** chances.astype(np.float64)
    return out


def sessions_needed(proportion: float, on_duty: float, release: float) -> int:
    """Sessions at times that know nothing of the roster, until `share` of a group has had a chance to come.

    Somebody is on duty at a session with probability q and can then be released with probability r, so that
    ``1 − (1 − q r)^n ≥ share``. A twelve-hour rota of 36 hours a week with sessions at any hour:

    >>> sessions_needed(0.9, 36 / 168, 0.6)
    17
    """
    return ceil(log(1 - proportion) / log(1 - on_duty * release))


def soon(days: Floats, worth: Worth) -> Floats:
    """float: what reaching somebody on each day counts, ``2^(−day / half-life)``.

    >>> soon(np.array([0.0, 28.0]), Worth(half_life_days=28)).tolist()
    [1.0, 0.5]
    """
    out: Floats = 2.0 ** (-days / worth.half_life_days)
    return out
