"""Readings that lean together: what a stay, or a day of a ward, adds to chance."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def variance_between(residual: Floats, cluster: Ints, ward: Ints, wards: int) -> Floats:
    """float64[W], variance of each ward's sum of residuals when whole clusters vary together.

    ``C / (C - 1) sum_e (r_e - n_e r)^2`` over the C clusters of a ward, r its mean residual.

    - `residual`: float64[m]. `cluster`: int64[m] from 0, each within one ward. `ward`: int64[m].
    """
    clusters = int(cluster.max(initial=-1)) + 1
    total = np.bincount(cluster, residual, clusters)
    size = np.bincount(cluster, minlength=clusters)
    home = np.zeros(clusters, np.int64)
    home[cluster] = ward
    mean = np.bincount(home, total, wards) / np.maximum(np.bincount(home, size, wards), 1)
    many = np.bincount(home[size > 0], minlength=wards)
    correction = many / np.maximum(many - 1, 1)
    return correction * np.bincount(home, (total - size * mean[home]) ** 2, wards)


def inflation(between: float, by_chance: float) -> float:
    """How much wider than chance (a variance) whole clusters make a difference, at least 1.

    >>> inflation(6.0, 4.0), inflation(3.0, 4.0)
    (1.5, 1.0)
    """
    return max(1.0, between / max(by_chance, 1e-9))
