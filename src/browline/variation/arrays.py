"""Names for the arrays of this room, and two questions about plain columns."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]
Bools = NDArray[np.bool_]


def alone_where_missing(code: Codes) -> Codes:
    """The codes with every -1 replaced by a new code of its own."""
    missing = code < 0
    filled = code.copy()
    filled[missing] = code.max(initial=-1) + 1 + np.arange(missing.sum())
    return filled


def independent_columns(x: Floats) -> Bools:
    """Which columns of `x` are not made up of columns before them (Gram–Schmidt on the cross products).

    >>> independent_columns(np.array([[1.0, 1.0, 0.0], [1.0, 1.0, 1.0]])).tolist()
    [True, False, True]
    """
    scale = np.sqrt(np.einsum("ij,ij->j", x, x))
    gram = x.T @ x / np.outer(np.where(scale > 0, scale, 1.0), np.where(scale > 0, scale, 1.0))
    keep = np.zeros(x.shape[1], bool)
    for j in range(x.shape[1]):
        remaining = gram[j, j]
        if keep.any():
            remaining -= gram[j, keep] @ np.linalg.solve(gram[np.ix_(keep, keep)], gram[keep, j])
        keep[j] = remaining > 1e-9
    return keep
