"""Values as whole tenths of a unit: what a thermometer shows and what a chart holds."""

import numpy as np

from browline.quantities import celsius, fahrenheit
from browline.synthetic.arrays import Flags, Floats, Ints


def to_tenths(value: Floats) -> Ints:
    """Values as whole tenths, a half rounded up."""
    return np.floor(value * 10.0 + 0.5).astype(np.int64)


def converted(tenths: Ints, from_f: Flags, to_f: Flags) -> Ints:
    """Tenths in the chart's unit: as shown where the units agree, else converted and rounded once more.

    >>> yes, no = np.array([True]), np.array([False])
    >>> converted(np.array([986]), yes, no).tolist(), converted(np.array([370]), no, yes).tolist()
    ([370], [986])
    """
    value = tenths / 10.0
    converted_value = np.where(to_f, fahrenheit(value), celsius(value))
    return np.where(from_f == to_f, tenths, to_tenths(converted_value))
