"""What may be kept of an original cell beside a repaired reading: identifiers hide in the rest (trap 10)."""

import re

from browline.intake.non_numeric_words import BESIDE, plain, reason_without_number, word_set
from browline.intake.site_words import read_site
from browline.intake.time_text import month_number
from browline.intake.units import read_unit
from browline.quantities.sites import UNKNOWN

_PIECE = re.compile(r"[-+]?\d+(?:[.,]\d+)?|[^\W\d_]+|[°<>/()%]")
_HIGHEST = 1130.0  # 113.0 °F without its point
_PLACEHOLDERS = ("9999", "-9999")
_LEFT_OUT = word_set("of to at by the")


def redacted_value(text: str) -> str:
    """The digits, sign, point or comma of a temperature cell, and letters of unit, site and error words only.

    A number stays only if it could be a temperature, with or without its point; of several numbers only
    those with a point stay, because a long number may be written in groups.

    >>> redacted_value("36,5 C (ax) MRN 00451234"), redacted_value("Pt refused"), redacted_value("Finch 37.1")
    ('36,5 c (ax)', 'refused', '37.1')
    """
    pieces = _PIECE.findall(plain(text))
    several = sum(p[-1].isdecimal() for p in pieces) > 1
    stay = [p for p in pieces if (_number_may_stay(p, several) if p[-1].isdecimal() else _word_may_stay(p))]
    return re.sub(r"\(\s*\)", "", " ".join(stay).replace("( ", "(").replace(" )", ")")).strip()


def _number_may_stay(piece: str, several: bool) -> bool:
    whole, _, decimals = piece.lstrip("+-").replace(",", ".").partition(".")
    if piece in _PLACEHOLDERS and not several:
        return True
    led_by_zero = len(whole) > 1 and whole[0] == "0"
    return float(whole) <= _HIGHEST and not led_by_zero and bool(decimals or not several)


def _word_may_stay(piece: str) -> bool:
    if not piece.isalpha():
        return True
    if piece in _LEFT_OUT:
        return False
    return bool(
        read_unit(piece) or reason_without_number(piece) or read_site(piece)[0] != UNKNOWN or piece in BESIDE
    )


def redacted_time(text: str) -> str:
    """The digits and signs of a time cell, with month names, am, pm, T and Z; every other letter dropped.

    >>> redacted_time("07/03/2026 24:00"), redacted_time("7 Mar 26 2 pm, Smith")
    ('07/03/2026 24:00', '7 Mar 26 2 pm')
    """
    pieces = re.findall(r"[\d:./,+-]+|[^\W\d_]+", text)
    stay = [p for p in pieces if not p.isalpha() or month_number(p) or p.lower() in ("am", "pm", "t", "z")]
    short = [p for p in stay if not re.fullmatch(r"\d{15,}", p)]
    return re.sub(r" ?\bT\b ?", "T", " ".join(short)).strip(" ,")
