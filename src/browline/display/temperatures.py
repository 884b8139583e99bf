"""Temperatures and their differences in the reader's unit, with a true minus sign."""

from browline.quantities import fahrenheit, fahrenheit_difference


def temperature(value_c: float, unit: str = "C") -> str:
    """A temperature.

    >>> temperature(37.04), temperature(37.0, "F")
    ('37.0 °C', '98.6 °F')
    """
    return f"{in_unit(value_c, unit):.1f} °{unit}"


def difference(value_c: float, unit: str = "C") -> str:
    """A temperature difference with its sign.

    >>> difference(-0.31), difference(0.5, "F")
    ('−0.31 °C', '+0.90 °F')
    """
    return f"{signed(in_unit_difference(value_c, unit))} °{unit}"


def both(value_c: float, unit: str = "C") -> str:
    """A difference in the reader's unit, the other one in brackets.

    >>> both(0.5), both(0.5, "F")
    ('+0.50 °C (+0.90 °F)', '+0.90 °F (+0.50 °C)')
    """
    second_unit = "C" if unit == "F" else "F"
    return f"{difference(value_c, unit)} ({difference(value_c, second_unit)})"


def span(low_c: float | None, high_c: float | None, unit: str = "C") -> str:
    """A 95 % interval of a difference.

    >>> span(-0.45, -0.17), span(None, None)
    ('−0.45 to −0.17 °C', 'not known')
    """
    if low_c is None or high_c is None:
        return "not known"
    low, high = (signed(in_unit_difference(v, unit)) for v in (low_c, high_c))
    return f"{low} to {high} °{unit}"


def signed(value: float) -> str:
    """Two decimals with a true minus sign; a rounded zero carries none.

    >>> signed(-0.004), signed(0.3)
    ('0.00', '+0.30')
    """
    text = f"{value:+.2f}"
    return "0.00" if text[1:] == "0.00" else text.replace("-", "−")


def slope(value_c: float, unit: str = "C") -> str:
    """A change a day, three decimals with a true minus sign, without its unit.

    >>> slope(-0.0123)
    '−0.012'
    """
    return f"{in_unit_difference(value_c, unit):+.3f}".replace("-", "−")


def in_unit(value_c: float, unit: str) -> float:
    """A Celsius value in the reader's unit."""
    return fahrenheit(value_c) if unit == "F" else value_c


def in_unit_difference(value_c: float, unit: str) -> float:
    """A Celsius difference in the reader's unit."""
    return fahrenheit_difference(value_c) if unit == "F" else value_c
