"""Numbers and dates as a nurse reads them."""

from datetime import date

from browline import display


def degrees(value: float) -> str:
    """A difference with its direction.

    >>> degrees(-0.407), degrees(0.2)
    ('0.41 °C low', '0.20 °C high')
    """
    return f"{display.decimal(abs(value), 2)} °C {'low' if value < 0 else 'high'}"


def interval(low: float, high: float) -> str:
    """A 95 % interval of a difference.

    >>> interval(-0.47, -0.35), interval(-0.02, 0.3)
    ('0.35 to 0.47 °C low', '0.02 °C low to 0.30 °C high')
    """
    if low < 0 <= high:
        return f"{degrees(low)} to {degrees(high)}"
    near, far = sorted((abs(low), abs(high)))
    return f"{display.decimal(near, 2)} to {display.decimal(far, 2)} °C {'low' if high <= 0 else 'high'}"


def plain_date(day: date) -> str:
    """A date that cannot be misread.

    >>> plain_date(date(2026, 3, 7))
    '07 Mar 2026'
    """
    months = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
    return f"{day.day:02d} {months[day.month - 1]} {day.year}"
