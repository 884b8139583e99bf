"""A bare number as a body temperature: its unit settled, a lost point restored, or the reason why not."""

import math
from dataclasses import dataclass

from browline.quantities.scales import celsius, fahrenheit

# Body temperatures a chart may hold; published validity filters run from 23 to 45 °C (practice, §4 no. 9).
LOWEST_C, HIGHEST_C = 25.0, 45.0
LOWEST_F, HIGHEST_F = 77.0, 113.0

_PLACEHOLDERS = frozenset({-1.0, -9.0, -99.0, -999.0, 999.0, 999.9, 9999.0, 9999.9, 99999.0, 888.0})


@dataclass(frozen=True)
class ValueRead:
    """One temperature cell, read.

    - `celsius`: degrees Celsius in [25, 45], or None where set aside.
    - `unit`: "C" or "F", the unit the number is in; `number`: the number as charted, point restored.
    - `repairs`: codes of `REPAIRS`; `reason`: a code of `REASONS`, or None where taken.
    - `site`: a site named in the cell ("36.5 (ax)"), or None; `word`: a code of a word beside it ("asleep").
    """

    celsius: float | None = None
    unit: str | None = None
    number: float | None = None
    repairs: tuple[str, ...] = ()
    reason: str | None = None
    site: str | None = None
    word: str = ""


def settle(number: float, declared: str | None) -> ValueRead:
    """A bare number as a temperature: by its declared unit, else by its size, with a lost point restored.

    >>> settle(366, None).celsius, settle(97.2, "C").repairs, settle(50, "C").reason
    (36.6, ('unit-put-right',), 'implausible')
    """
    if not math.isfinite(number):
        return ValueRead(reason="implausible")
    if number == 0:
        return ValueRead(number=number, reason="zero")
    if number in _PLACEHOLDERS:
        return ValueRead(number=number, reason="placeholder")
    lost = number == int(number) and _unit_by_size(number / 10) is not None and number >= 250
    value = number / 10 if lost else number
    unit = _unit_by_size(value)
    if unit is None:
        gap = declared is None and HIGHEST_C < value < LOWEST_F
        return ValueRead(number=number, reason="unit-unknown" if gap else "implausible")
    by_unit = {None: ("unit-by-range",), unit: ()}.get(declared, ("unit-put-right",))
    in_celsius = celsius(value) if unit == "F" else value
    return ValueRead(in_celsius, unit, value, (("lost-point",) if lost else ()) + by_unit)


def _unit_by_size(number: float) -> str | None:
    """The unit in which a number is a body temperature; the two bands do not touch."""
    if LOWEST_C <= number <= HIGHEST_C:
        return "C"
    return "F" if LOWEST_F <= number <= HIGHEST_F else None


def agree(first: ValueRead, second: ValueRead) -> bool:
    """Whether two readings are one temperature after rounding to a tenth of either unit.

    Half a tenth in each unit, 0.05 °C + 0.05 °F / 1.8 = 0.078 °C, is the most that rounding can part them.
    """
    if first.celsius is None or second.celsius is None:
        return False
    return abs(fahrenheit(first.celsius) - fahrenheit(second.celsius)) <= 0.05 * 1.8 + 0.05 + 1e-9
