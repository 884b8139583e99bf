"""How sure a mean over readings is, when readings of one stay go together."""

import numpy as np

from browline.variation.design import Codes, Floats

Pull = tuple[Codes, Floats]
"""The stay of each reading, int64[n], and how much the reading moves the answer, float64[n] in °C."""


def standard_error(pulls: list[Pull]) -> float:
    """``sqrt(S / (S - 1) sum over S stays (sum of the stay's pulls)^2)``, °C; the pulls of one answer together.

    >>> stay, pull = np.array([0, 0, 1]), np.array([0.01, 0.02, -0.03])
    >>> round(standard_error([(stay, pull)]), 4)
    0.06
    """
    stays = np.unique(np.concatenate([stay for stay, _ in pulls]), return_inverse=True)[1]
    by_stay = np.bincount(stays, np.concatenate([pull for _, pull in pulls]))
    return float(np.sqrt((by_stay**2).sum() * len(by_stay) / max(len(by_stay) - 1, 1)))


def half_interval(pulls: list[Pull], stays: int) -> float:
    """Half the 95 % interval, °C: Student's t with one degree of freedom less than `stays`, those with a pair."""
    from scipy.special import stdtrit

    return float(stdtrit(stays - 1, 0.975)) * standard_error(pulls)


def by_precision(pulls: list[Pull]) -> Floats:
    """Weights of several answers, one over the square of each one's standard error, adding up to 1."""
    precision = np.array([1 / max(standard_error([pull]), 1e-6) ** 2 for pull in pulls])
    return np.asarray(precision / precision.sum())


def weighted(pulls: list[Pull], weights: Floats) -> list[Pull]:
    """The pulls on the weighted mean of the answers."""
    return [(stay, weight * pull) for (stay, pull), weight in zip(pulls, weights, strict=True)]
