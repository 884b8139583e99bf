"""Numbers, times and chances in the educator's words: plain functions, used by the templates as filters."""

from datetime import date, datetime
from typing import TypedDict

from django.utils import timezone

from browline import display
from browline.store.models import Check


class Measured(TypedDict, total=False):
    """The numbers of a finding, as a review keeps them: in degrees, or a share."""

    effect: float | None
    low: float | None
    high: float | None
    unit: str


class OfInstrument(TypedDict, total=False):
    """The 95 % interval of an instrument's offset, as the register's overview has it."""

    low_c: float | None
    high_c: float | None


def moment(when: datetime | str | None) -> str:
    """A time as the hospital's clock shows it: 07 Mar 2026 14:05."""
    if not when:
        return ""
    instant = datetime.fromisoformat(when) if isinstance(when, str) else when
    return display.moment(timezone.localtime(instant) if instant.tzinfo else instant)


def day(when: date | str | None) -> str:
    """A date that cannot be misread: 07 Mar 2026."""
    return display.day(when) if when else ""


def difference(celsius: float | None, first: str = "C") -> str:
    """A difference of temperature in both units, the chosen one first.

    >>> difference(0.5)
    '+0.50 °C (+0.90 °F)'
    """
    return display.UNKNOWN if celsius is None else display.both(celsius, first)


def temperature(celsius: float | None, first: str = "C") -> str:
    """A temperature in both units, the chosen one first.

    >>> temperature(37.0, "F")
    '98.6 °F (37.0 °C)'
    """
    if celsius is None:
        return display.UNKNOWN
    second = "C" if first == "F" else "F"
    return f"{display.temperature(celsius, first)} ({display.temperature(celsius, second)})"


def size(data: Measured, first: str = "C") -> str:
    """The size of a finding in its own unit: degrees, or a share as a percentage."""
    effect = data.get("effect")
    if effect is None:
        return display.UNKNOWN
    return difference(effect, first) if data["unit"] == "C" else display.share(effect)


def interval(data: Measured, first: str = "C") -> str:
    """The 95 % interval of a finding, in the chosen unit."""
    low, high = data.get("low"), data.get("high")
    if low is None or high is None:
        return display.UNKNOWN
    if data["unit"] != "C":
        return f"{display.share(low)} to {display.share(high)}"
    return display.span(low, high, first)


def offset_interval(row: OfInstrument, first: str = "C") -> str:
    """The 95 % interval of an instrument's offset, in the chosen unit."""
    return interval({"low": row.get("low_c"), "high": row.get("high_c"), "unit": "C"}, first)


def error(check: Check, first: str = "C") -> str:
    """How far a thermometer was off at a check: shown less reference."""
    return difference(check.shown - check.reference, first)


def count(number: int | None) -> str:
    """A whole number with thousands set apart.

    >>> count(1234567)
    '1,234,567'
    """
    return "" if number is None else display.number(number)
