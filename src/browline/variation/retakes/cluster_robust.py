"""How sure a mean over readings is, when readings of one stay go together."""

import numpy as np

from browline.variation.arrays import Codes, Floats

Pull = tuple[Codes, Floats]
"""The stay of each reading, int64[n], and how much the reading moves the answer, float64[n] in °C."""


def standard_error(pulls: list[Pull]) -> float:
    """``sqrt(S / (S - 1) sum over S stays (sum of the stay's pulls)^2)``, °C; the pulls of one answer together.

    >>> stay, pull = np.array([0, 0, 1]), np.array([0.01, 0.02, -0.03])
    >>> round(standard_error([(stay, pull)]), 4)
    0.06
    """
    squares = _by_stay(pulls) ** 2
    return float(np.sqrt(squares.sum() * len(squares) / max(len(squares) - 1, 1)))


def half_interval(pulls: list[Pull]) -> float:
    """Half the 95 % interval, °C: Student's t times the standard error.

    The freedom is that of a sum of squares b^2 as uneven as the stays' own: ``2 (sum b^2)^2 / (sum b^4 -
    (sum b^2)^2 / S)``, S for normal pulls and less where few stays carry the answer. Source: Satterthwaite 1946,
    Biometrics Bulletin 2:110 (from memory).
    """
    from scipy.special import stdtrit

    squares = _by_stay(pulls) ** 2
    total, spread = squares.sum() ** 2, (squares**2).sum()
    freedom = 2 * total / max(spread - total / len(squares), total / len(squares))
    return float(stdtrit(max(min(freedom, len(squares) - 1.0), 1.0), 0.975)) * standard_error(pulls)


def _by_stay(pulls: list[Pull]) -> Floats:
    """The sum of the pulls of each stay, float64[S]."""
    stays = np.unique(np.concatenate([stay for stay, _ in pulls]), return_inverse=True)[1]
    return np.asarray(np.bincount(stays, np.concatenate([pull for _, pull in pulls])), float)


def by_precision(pulls: list[Pull]) -> Floats:
    """Weights of several answers, one over the square of each one's standard error, adding up to 1."""
    precision = np.array([1 / max(standard_error([pull]), 1e-6) ** 2 for pull in pulls])
    return np.asarray(precision / precision.sum())


def weighted(pulls: list[Pull], weights: Floats) -> list[Pull]:
    """The pulls on the weighted mean of the answers."""
    return [(stay, weight * pull) for (stay, pull), weight in zip(pulls, weights, strict=True)]
