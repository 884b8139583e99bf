"""Nodes and kernel of the run-length equations."""

from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Doubling both moves no run length by more than 1e-9 of itself.
NODES, NODES_PER_SD = 40, 2


def nodes(low: float, high: float, sds: float) -> tuple[Floats, Floats]:
    """Gauss-Legendre nodes and weights on [low, high], enough for a kernel `1 / sds` as wide."""
    x, w = np.polynomial.legendre.leggauss(NODES + ceil(NODES_PER_SD * sds))
    half = (high - low) / 2
    return low + half * (x + 1.0), half * w


def density(z: Floats) -> Floats:
    """The standard normal density, ``exp(-z^2 / 2) / sqrt(2 pi)``."""
    return np.asarray(np.exp(-0.5 * z * z) / sqrt(2.0 * np.pi))
