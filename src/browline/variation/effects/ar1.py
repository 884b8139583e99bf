"""Effects that follow one another in time: the root of their correlation, ``cov(u_i, u_j) = sd^2 rho^|i - j|``."""

import numpy as np

from browline.variation.arrays import Floats


def ar1_root(length: int, rho: float) -> Floats:
    """Lower L with ``L L' = rho^|i - j|``: ``L_i0 = rho^i, L_ij = sqrt(1 - rho^2) rho^(i - j)``.

    >>> np.round(ar1_root(2, 0.6), 12).tolist()
    [[1.0, 0.0], [0.6, 0.8]]
    """
    apart = np.subtract.outer(np.arange(length), np.arange(length))
    root = np.where(apart >= 0, rho ** np.maximum(apart, 0), 0.0)
    root[:, 1:] *= np.sqrt(1 - rho**2)
    return root


def ar1_block_root(chains: int, length: int, rho: float) -> Floats:
    """The root of several chains of one length, a block `ar1_root` each, float64[chains length, chains length]."""
    return np.asarray(np.kron(np.eye(chains), ar1_root(length, rho)), float)
