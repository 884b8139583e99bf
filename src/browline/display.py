"""Numbers and dates as charts and reports write them: true minus sign, unambiguous dates."""

from collections.abc import Sequence
from datetime import date, datetime

from browline.quantities import fahrenheit, fahrenheit_difference

FEWEST = 10
FEW_TO_ROUND = 200
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


def both(value_c: float, unit: str = "C") -> str:
    """A difference in the reader's unit, the other one in brackets.

    >>> both(0.5), both(0.5, "F")
    ('+0.50 °C (+0.90 °F)', '+0.90 °F (+0.50 °C)')
    """
    other = "C" if unit == "F" else "F"
    return f"{difference(value_c, unit)} ({difference(value_c, other)})"


def span(low_c: float | None, high_c: float | None, unit: str = "C") -> str:
    """A 95 % interval of a difference.

    >>> span(-0.45, -0.17), span(None, None)
    ('−0.45 to −0.17 °C', 'not known')
    """
    if low_c is None or high_c is None:
        return "not known"
    low, high = (signed(in_unit_difference(v, unit)) for v in (low_c, high_c))
    return f"{low} to {high} °{unit}"


def share_span(low: float, high: float, n: int) -> str:
    """A 95 % interval of a share; whole per cents where few were counted.

    - `n`: what the share is of.

    >>> share_span(0.7438, 0.9654, 30), share_span(0.0533, 0.0561, 96838)
    ('74 to 97 %', '5.3 to 5.6 %')
    """
    decimals = 0 if n < FEW_TO_ROUND else 1
    return f"{100 * low:.{decimals}f} to {100 * high:.{decimals}f} %"


def chance(probability: float | None) -> str:
    """A probability, never said to be certain.

    >>> chance(0.999), chance(0.97), chance(None)
    ('more than 99 %', '97 %', 'not stated')
    """
    if probability is None:
        return "not stated"
    if probability > 0.99:
        return "more than 99 %"
    return "less than 1 %" if probability < 0.01 else f"{100 * probability:.0f} %"


def listed(names: Sequence[str], most: int = 8) -> str:
    """Names in a row, cut off with a count.

    >>> listed(["FS-07"]), listed(["FS-07", "FS-12", "FS-30"], most=2)
    ('FS-07', 'FS-07, FS-12 and 1 more')
    """
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def many(n: int, one: str, more: str = "") -> str:
    """A number with its noun.

    >>> many(1, "instrument"), many(12, "instrument")
    ('1 instrument', '12 instruments')
    """
    return f"{n:,} {one if n == 1 else more or one + 's'}"
