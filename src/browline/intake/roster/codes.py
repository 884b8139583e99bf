"""What one cell of a roster says: a turn of duty, two of them, one on another ward, or an unknown code.

Common practice, no source: marks such as * point to a footnote, "E/L" is a split turn, "N 5W" or "LD (Maple)" a
turn on another ward. Half shifts are asked for: nobody can tell from "N/2" which half is meant.
"""

import re
import unicodedata
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import time

from browline import display
from browline.intake.wards import plain_ward
from browline.shifts import ON_DUTY

Codes = Mapping[str, tuple[str, time | None, time | None]]
LONGEST_CODE = 20
_MARKS = "*†‡#!^+~§ "
_BESIDE_WARD = re.compile(r"(?P<code>[^\s(@\[]+)\s*[(@\[]\s*(?P<ward>[^)\]]+?)\s*[)\]]?")
_BEFORE_WARD = re.compile(r"(?P<code>[^\s:]+)(?:\s+-\s+|\s*:\s*|\s+)(?P<ward>.*[A-Z].*)")
_HOURS = re.compile(r"(\d{1,2})[:.]?(\d{2})\s*(?:-|TO)\s*(\d{1,2})[:.]?(\d{2})")
LONG_DAY_HOURS, EARLY_UNTIL, LATE_FROM = 10, time(11), time(12)


@dataclass(frozen=True)
class Duty:
    """One turn: its `code`, its `kind` ("" where the code is not settled), hours, and a `ward` other than the row's."""

    code: str
    kind: str
    start: time | None = None
    end: time | None = None
    ward: str = ""


def plain_code(text: str) -> str:
    """A code for comparing: capitals, single spaces, one sort of dash, 20 signs at most.

    >>> plain_code(" n  5w "), plain_code("–")
    ('N 5W', '-')
    """
    folded = unicodedata.normalize("NFKC", text.replace("–", "-").replace("—", "-").replace("\u2212", "-"))
    return " ".join(folded.upper().split())


def read_cell(text: str, codes: Codes, wards: Collection[str] = ()) -> tuple[Duty, ...]:
    """The turns of one cell, none where it is blank; `wards` are names known as wards.

    >>> from browline.shifts import USUAL
    >>> [(d.code, d.kind, d.ward) for d in read_cell("LD (maple)", USUAL)]
    [('LD', 'long-day', 'Maple')]
    >>> [d.kind for d in read_cell("E/L", USUAL)], [d.kind for d in read_cell("N*", USUAL)]
    (['early', 'late'], ['night'])
    >>> read_cell("XQ", USUAL)
    (Duty(code='XQ', kind='', start=None, end=None, ward=''),)
    """
    plain = plain_code(text)
    if not plain:
        return ()
    ways = (_known_code, _by_hours, _in_brackets, _split, _then_ward)
    unknown = (Duty(plain[:LONGEST_CODE], ""),)
    return next((duties for way in ways if (duties := way(plain, codes, wards))), unknown)


def kind_by_hours(start: time, end: time) -> str:
    """The kind of a turn that gives its hours only: across midnight a night; 10 hours and more a long day."""
    if end <= start:
        return "night"
    hours = end.hour - start.hour + (end.minute - start.minute) / 60
    if hours >= LONG_DAY_HOURS:
        return "long-day"
    if start >= LATE_FROM:
        return "late"
    return "early" if start < EARLY_UNTIL and end <= time(15, 30) else "day"


def _known_code(plain: str, codes: Codes, wards: Collection[str]) -> tuple[Duty, ...]:
    for code in (plain, plain[:LONGEST_CODE], plain.strip(_MARKS)):
        if code in codes:
            return (Duty(code, *codes[code]),)
    return ()


def _by_hours(plain: str, codes: Codes, wards: Collection[str]) -> tuple[Duty, ...]:
    match = _HOURS.fullmatch(plain)
    if not match:
        return ()
    numbers = [int(n) for n in match.groups()]
    if numbers[2:] == [24, 0]:
        numbers[2] = 0
    if max(numbers[::2]) > 23 or max(numbers[1::2]) > 59:
        return ()
    start, end = time(numbers[0], numbers[1]), time(numbers[2], numbers[3])
    return (
        Duty(
            f"{display.time_of_day(start)}-{display.time_of_day(end)}", kind_by_hours(start, end), start, end
        ),
    )


def _in_brackets(plain: str, codes: Codes, wards: Collection[str]) -> tuple[Duty, ...]:
    match = _BESIDE_WARD.fullmatch(plain)
    return _elsewhere(match, codes, wards) if match else ()


def _then_ward(plain: str, codes: Codes, wards: Collection[str]) -> tuple[Duty, ...]:
    match = _BEFORE_WARD.fullmatch(plain)
    return _elsewhere(match, codes, wards) if match else ()


def _elsewhere(match: re.Match[str], codes: Codes, wards: Collection[str]) -> tuple[Duty, ...]:
    duties = _known_code(match["code"], codes, wards)
    ward = plain_ward(match["ward"])
    if not duties or duties[0].kind not in ON_DUTY or (_says_half(match["ward"]) and ward not in wards):
        return ()
    return (
        Duty(code=duties[0].code, kind=duties[0].kind, start=duties[0].start, end=duties[0].end, ward=ward),
    )


def _says_half(text: str) -> bool:
    return bool(re.search(r"HALF|½|1/2|\bAM\b|\bPM\b|HRS?\b|HOURS?", text))


def _split(plain: str, codes: Codes, wards: Collection[str]) -> tuple[Duty, ...]:
    parts = [p for p in re.split(r"\s*[/+&,]\s*|\s+", plain.strip(_MARKS)) if p]
    if len(parts) < 2:
        return ()
    if len(parts) == 2 and plain_ward(parts[1]) in wards:
        first = _known_code(parts[0], codes, wards)
        return tuple(
            Duty(code=d.code, kind=d.kind, start=d.start, end=d.end, ward=plain_ward(parts[1])) for d in first
        )
    each = [_known_code(part, codes, wards) for part in parts]
    return tuple(dict.fromkeys(d for duties in each for d in duties)) if all(each) else ()
