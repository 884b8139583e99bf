"""Names for the array types of this room, so that signatures read as sentences."""

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Texts = NDArray[np.object_]
Table = dict[str, Texts]

__all__ = ["Flags", "Floats", "Generator", "Ints", "Table", "Texts", "texts"]


def texts(words: list[str] | tuple[str, ...]) -> Texts:
    """Words as an array that shares the strings instead of copying them."""
    out = np.empty(len(words), dtype=object)
    out[:] = words
    return out
