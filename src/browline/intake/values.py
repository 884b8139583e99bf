"""What a temperature cell says: degrees Celsius, the unit charted, and every repair or the reason why not.

The unit of a number is settled in this order: the cell's own text, then what the caller has `declared`
(unit column, heading, instrument's register), then the number's size. A number that can only be in the
other unit is put right; between 45 and 77 nothing is guessed (practice, Part C, traps 1, 2 and 4).
"""

import math
import re
from dataclasses import dataclass

from browline.intake.site_words import read_site
from browline.intake.units import is_other_unit, read_unit
from browline.intake.words import BESIDE, instead_of_number, plain, word_set
from browline.quantities.scales import celsius, fahrenheit
from browline.quantities.sites import UNKNOWN

# Body temperatures a chart may hold; published validity filters run from 23 to 45 °C (practice, §4 no. 9).
LOWEST_C, HIGHEST_C = 25.0, 45.0
LOWEST_F, HIGHEST_F = 77.0, 113.0

_NUMBER = re.compile(r"(?<![\d.,])[-+]?\d+(?:[.,]\d+)?(?:e[-+]\d{1,2})?(?![\d])")
_PLACEHOLDERS = frozenset({-1.0, -9.0, -99.0, -999.0, 999.0, 999.9, 9999.0, 9999.9, 99999.0, 888.0})
_UNIT_WORDS = word_set(
    "c f celsius celcius cel fahrenheit farenheit fahr centigrade degc degf deg degs degree degrees"
)


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


def read_value(text: str, declared: str | None = None) -> ValueRead:
    """Read one temperature cell, the unit being `declared` ("C", "F") or not known (None).

    >>> read = read_value("98,6 F (ax)")
    >>> read.celsius, read.unit, read.site, read.repairs
    (37.0, 'F', 'axillary', ('decimal-comma', 'text-beside-number'))
    >>> read_value("60").reason, read_value("refused").reason
    ('unit-unknown', 'refused')
    """
    reason = instead_of_number(text)
    if reason:
        return ValueRead(reason=reason, word="" if reason in ("no-value", "dash") else reason)
    cell = plain(text)
    numbers = _NUMBER.findall(cell)
    if len(numbers) == 2:
        return _both_in_one_cell(cell, numbers)
    if len(numbers) != 1:
        return ValueRead(reason="two-numbers" if numbers else "no-number")
    return _one_number(cell, numbers[0], declared)


def _one_number(cell: str, number_text: str, declared: str | None) -> ValueRead:
    """A cell with one number: what stands beside it, then the number itself."""
    rest = cell.replace(number_text, " ", 1)
    beside = _beside(rest)
    if beside.reason:
        return beside
    comma = ("decimal-comma",) if "," in number_text else ()
    around = ("text-beside-number",) if rest.strip(" °.*?~+") else ()
    number = float(number_text.replace(",", "."))
    if "<" in rest or ">" in rest:
        return ValueRead(number=number, reason="reads-lo" if "<" in rest else "reads-hi", site=beside.site)
    settled = settle(number, beside.unit or declared)
    return ValueRead(
        settled.celsius, settled.unit, settled.number, comma + around + settled.repairs, settled.reason,
        beside.site, beside.word,
    )  # fmt: skip


def _beside(rest: str) -> ValueRead:
    """What the words around a number say: unit, site, a word about practice, or that it is no temperature."""
    words = re.findall(r"[^\W\d_]+", rest)
    whole = instead_of_number(" ".join(words)) if words else None
    if whole in ("refused", "reads-err", "off-ward") or (whole == "not-done" and words != ["x"]):
        return ValueRead(reason=whole, word=whole)
    if is_other_unit(" ".join(words)):
        return ValueRead(reason="unit-not-accepted")
    others = [w for w in words if w not in _UNIT_WORDS and w not in BESIDE]
    site = read_site(" ".join(others))[0] if others else None
    if others and site == UNKNOWN and others not in (["o"], ["r"], ["a"], ["e"]):
        return ValueRead(reason="words-beside-number")
    asleep = "asleep" if {"asleep", "sleeping"} & set(words) else ""
    return ValueRead(unit=read_unit(" ".join(w for w in words if w in _UNIT_WORDS)), site=site, word=asleep)


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
    shown = number / 10 if lost else number
    unit = _unit_by_size(shown)
    if unit is None:
        gap = declared is None and HIGHEST_C < shown < LOWEST_F
        return ValueRead(number=number, reason="unit-unknown" if gap else "implausible")
    by_unit = {None: ("unit-by-range",), unit: ()}.get(declared, ("unit-put-right",))
    in_celsius = celsius(shown) if unit == "F" else shown
    return ValueRead(in_celsius, unit, shown, (("lost-point",) if lost else ()) + by_unit)


def _unit_by_size(number: float) -> str | None:
    """The unit in which a number is a body temperature; the two bands do not touch."""
    if LOWEST_C <= number <= HIGHEST_C:
        return "C"
    return "F" if LOWEST_F <= number <= HIGHEST_F else None


def _both_in_one_cell(cell: str, numbers: list[str]) -> ValueRead:
    """ "36.5 °C / 97.7 °F": taken where both numbers are the same temperature, else two numbers."""
    first, second = (settle(float(n.replace(",", ".")), None) for n in numbers)
    words = set(re.findall(r"[^\W\d_]+", cell))
    both = {first.unit, second.unit} == {"C", "F"}
    if both and words <= _UNIT_WORDS and agree(first, second):
        taken = first if first.unit == "C" else second
        return ValueRead(taken.celsius, taken.unit, taken.number, ("text-beside-number",))
    return ValueRead(reason="two-numbers")


def read_value_pair(celsius_text: str, fahrenheit_text: str) -> ValueRead:
    """One reading charted in a Celsius and a Fahrenheit column: one taken, the other checked (trap 2).

    >>> read_value_pair("37.0", "98.6").celsius, read_value_pair("37.0", "99.9").reason
    (37.0, 'units-disagree')
    """
    first, second = read_value(celsius_text, "C"), read_value(fahrenheit_text, "F")
    if first.reason and second.reason:
        return second if first.reason == "no-value" else first
    if first.reason or second.reason:
        taken, other = (second, first) if first.reason else (first, second)
        if other.reason == "no-value":
            return taken
        return _with(taken, ("one-of-two-units",))
    if not agree(first, second):
        return ValueRead(reason="units-disagree")
    # The column with the repair is the suspicious one; between two sound cells the Celsius one is taken.
    return second if first.repairs and not second.repairs else first


def agree(first: ValueRead, second: ValueRead) -> bool:
    """Whether two readings are one temperature after rounding to a tenth of either unit.

    Half a tenth in each unit, 0.05 °C + 0.05 °F / 1.8 = 0.078 °C, is the most that rounding can part them.
    """
    if first.celsius is None or second.celsius is None:
        return False
    return abs(fahrenheit(first.celsius) - fahrenheit(second.celsius)) <= 0.05 * 1.8 + 0.05 + 1e-9


def _with(read: ValueRead, repairs: tuple[str, ...]) -> ValueRead:
    return ValueRead(
        read.celsius, read.unit, read.number, read.repairs + repairs, read.reason, read.site, read.word
    )
