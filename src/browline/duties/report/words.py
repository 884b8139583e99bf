"""Numbers and dates as the charts write them: true minus sign, unambiguous dates, one unit at a time."""

from datetime import date, datetime

from browline.quantities import fahrenheit, fahrenheit_difference

FEWEST = 10
FEWER = f"fewer than {FEWEST}"


def share(value: float) -> str:
    """A share in [0, 1] as a percentage.

    >>> share(0.0463)
    '4.6 %'
    """
    return f"{100 * value:.1f} %"


def count(n: int) -> str:
    """A count of readings; small cells are withheld.

    >>> count(9120), count(4)
    ('9,120', 'fewer than 10')
    """
    return FEWER if n < FEWEST else f"{n:,}"


def difference(value_c: float, unit: str = "C") -> str:
    """A temperature difference with its sign.

    >>> difference(-0.31), difference(0.5, "F")
    ('−0.31 °C', '+0.90 °F')
    """
    return f"{signed(in_unit_difference(value_c, unit))} °{unit}"


def temperature(value_c: float, unit: str = "C") -> str:
    """A temperature.

    >>> temperature(37.04), temperature(37.0, "F")
    ('37.0 °C', '98.6 °F')
    """
    return f"{in_unit(value_c, unit):.1f} °{unit}"


def signed(value: float) -> str:
    """Two decimals with a true minus sign; a rounded zero carries none.

    >>> signed(-0.004), signed(0.3)
    ('0.00', '+0.30')
    """
    text = f"{value:+.2f}"
    return "0.00" if text[1:] == "0.00" else text.replace("-", "−")


def in_unit(value_c: float, unit: str) -> float:
    """A Celsius value in the reader's unit."""
    return fahrenheit(value_c) if unit == "F" else value_c


def in_unit_difference(value_c: float, unit: str) -> float:
    """A Celsius difference in the reader's unit."""
    return fahrenheit_difference(value_c) if unit == "F" else value_c


def day(when: date | str) -> str:
    """A date no one can misread.

    >>> day("2026-03-07")
    '07 Mar 2026'
    """
    return as_date(when).strftime("%d %b %Y")


def month(text: str) -> str:
    """A month written 2026-01 as a reader says it.

    >>> month("2026-01")
    'Jan 2026'
    """
    return as_date(text + "-01").strftime("%b %Y")


def as_date(when: date | str) -> date:
    """A date from a date, a time, or ISO text."""
    if isinstance(when, str):
        return datetime.fromisoformat(when).date()
    return when.date() if isinstance(when, datetime) else when
