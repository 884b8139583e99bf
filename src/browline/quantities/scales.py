"""Celsius and Fahrenheit: values on a scale, and differences between values.

A value moves by the offset formula; a difference only by the factor 1.8. Running a difference through the
offset formula is the classic slip, so the two have different names.
"""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", float, NDArray[np.float64])


def celsius(fahrenheit_value: Number) -> Number:
    """A Fahrenheit value as degrees Celsius: ``C = (F - 32) * 5 / 9``.

    Source: definition of the scales (UCUM ``Cel``, ``[degF]``).

    >>> celsius(98.6), celsius(100.4)
    (37.0, 38.0)
    """
    return (fahrenheit_value - 32.0) * 5.0 / 9.0


def fahrenheit(celsius_value: Number) -> Number:
    """A Celsius value as degrees Fahrenheit: ``F = C * 9 / 5 + 32``.

    >>> fahrenheit(37.0)
    98.6
    """
    return celsius_value * 9.0 / 5.0 + 32.0


def celsius_difference(fahrenheit_difference_: Number) -> Number:
    """A difference in Fahrenheit degrees as a difference in Celsius degrees.

    >>> celsius_difference(1.8)
    1.0
    """
    return fahrenheit_difference_ / 1.8


def fahrenheit_difference(celsius_difference_: Number) -> Number:
    """A difference in Celsius degrees as a difference in Fahrenheit degrees.

    >>> fahrenheit_difference(0.5)
    0.9
    """
    return celsius_difference_ * 1.8
