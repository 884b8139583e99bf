"""What a temperature cell says: degrees Celsius, the unit charted, and every repair or the reason why not.

The unit of a number is settled in this order: the cell's own text, then what the caller has `declared`
(unit column, heading, instrument's register), then the number's size. A number that can only be in the
other unit is put right; between 45 and 77 nothing is guessed (practice, Part C, traps 1, 2 and 4).
"""

import re

from browline.intake.non_numeric_words import BESIDE, plain, reason_without_number, word_set
from browline.intake.site_words import read_site
from browline.intake.units import is_unaccepted_unit, read_unit
from browline.intake.value_by_range import ValueRead, agree, settle
from browline.quantities.sites import UNKNOWN

_NUMBER = re.compile(r"(?<![\d.,])[-+]?\d+(?:[.,]\d+)?(?:e[-+]\d{1,2})?(?![\d])")
_UNIT_WORDS = word_set(
    "c f celsius celcius cel fahrenheit farenheit fahr centigrade degc degf deg degs degree degrees"
)


def read_value(text: str, declared: str | None = None) -> ValueRead:
    """Read one temperature cell, the unit being `declared` ("C", "F") or not known (None).

    >>> read = read_value("98,6 F (ax)")
    >>> read.celsius, read.unit, read.site, read.repairs
    (37.0, 'F', 'axillary', ('decimal-comma', 'text-beside-number'))
    >>> read_value("60").reason, read_value("refused").reason
    ('unit-unknown', 'refused')
    """
    reason = reason_without_number(text)
    if reason:
        return ValueRead(reason=reason, word="" if reason in ("no-value", "dash") else reason)
    cell = plain(text)
    numbers = _NUMBER.findall(cell)
    if len(numbers) == 2:
        return _two_units(cell, numbers)
    if len(numbers) != 1:
        return ValueRead(reason="two-numbers" if numbers else "no-number")
    return _single_number(cell, numbers[0], declared)


def _single_number(cell: str, number_text: str, declared: str | None) -> ValueRead:
    """A cell with one number: what stands beside it, then the number itself."""
    text = cell.replace(number_text, " ", 1)
    if re.search(r"\d", text):
        return ValueRead(reason="two-numbers")
    beside = _beside(text)
    if beside.reason:
        return beside
    comma = ("decimal-comma",) if "," in number_text else ()
    around = ("text-beside-number",) if text.strip(" °.*?~+") else ()
    number = float(number_text.replace(",", "."))
    if "<" in text or ">" in text:
        return ValueRead(number=number, reason="reads-lo" if "<" in text else "reads-hi", site=beside.site)
    value = settle(number, beside.unit or declared)
    return ValueRead(
        celsius=value.celsius, unit=value.unit, number=value.number,
        repairs=comma + around + value.repairs, reason=value.reason,
        site=beside.site, word=beside.word,
    )  # fmt: skip


def _beside(text: str) -> ValueRead:
    """What the words around a number say: unit, site, a word about practice, or that it is no temperature."""
    words = re.findall(r"[^\W\d_]+", text)
    whole = reason_without_number(" ".join(words)) if words else None
    if whole in ("refused", "reads-err", "off-ward") or (whole == "not-done" and words != ["x"]):
        return ValueRead(reason=whole, word=whole)
    if is_unaccepted_unit(" ".join(words)):
        return ValueRead(reason="unit-not-accepted")
    others = [w for w in words if w not in _UNIT_WORDS and w not in BESIDE]
    site = read_site(" ".join(others))[0] if others else None
    if others and site == UNKNOWN and others not in (["o"], ["r"], ["a"], ["e"]):
        return ValueRead(reason="words-beside-number")
    asleep = "asleep" if {"asleep", "sleeping"} & set(words) else ""
    return ValueRead(unit=read_unit(" ".join(w for w in words if w in _UNIT_WORDS)), site=site, word=asleep)


def _two_units(cell: str, numbers: list[str]) -> ValueRead:
    """ "36.5 °C / 97.7 °F": taken where both numbers are the same temperature, else two numbers."""
    first, second = (settle(float(n.replace(",", ".")), None) for n in numbers)
    words = set(re.findall(r"[^\W\d_]+", cell))
    both = {first.unit, second.unit} == {"C", "F"}
    if both and words <= _UNIT_WORDS and agree(first, second):
        taken = first if first.unit == "C" else second
        return ValueRead(taken.celsius, taken.unit, taken.number, ("text-beside-number",))
    return ValueRead(reason="two-numbers")
