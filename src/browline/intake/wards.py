"""Ward names: spaces and capitals mended; names that may be one ward suggested, never merged silently."""

import re
from collections.abc import Sequence

from browline.intake.non_numeric_words import word_set

_CAPITALS = word_set(
    "icu itu ed er or pacu nicu picu micu sicu ccu cvicu ctu hdu amu mau sau eau aau imc imcu ccu csicu "
    "tcu ltc  a&e ent snf rehab2 obs2 nnu scbu ltac gi gu bmt onc2 pcu dcu acu sdu ambu2 ob gyn2 opd ii "
    "iii iv vi"
)
_SMALL = word_set("of and the for de la du")


def plain_ward(text: str) -> str:
    """A ward's name with single spaces and settled capitals, the same for every way of typing its case.

    >>> plain_ward(" 5 WEST "), plain_ward("icu"), plain_ward("Ward of the north"), plain_ward("5w")
    ('5 West', 'ICU', 'Ward of the North', '5W')
    """
    words = re.sub(r"[\s_]+", " ", text.replace("\u00a0", " ")).strip().lower().split(" ")
    named = [_word(w) if i == 0 or w not in _SMALL else w for i, w in enumerate(words)]
    return " ".join(named)


def _word(word: str) -> str:
    """One word: known short names and those with a digit or without a vowel in capitals, others capitalised."""
    if "-" in word.strip("-"):
        return "-".join(_word(part) for part in word.split("-"))
    letters = re.sub(r"[^a-z]", "", word)
    if word.strip("()") in _CAPITALS or any(c.isdecimal() for c in word) or not set(letters) & set("aeiouy"):
        return word.upper()
    start = next((i for i, c in enumerate(word) if c.isalpha()), 0)
    return word[:start] + word[start : start + 1].upper() + word[start + 1 :]


_SHORT = {
    "west": "w", "north": "n", "east": "e", "south": "s", "one": "1", "two": "2", "three": "3", "four": "4",
    "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9", "ten": "10", "first": "1", "second": "2",
    "third": "3", "fourth": "4", "fifth": "5", "1st": "1", "2nd": "2", "3rd": "3", "4th": "4", "5th": "5",
    "6th": "6", "7th": "7", "8th": "8", "9th": "9", "med": "medical", "medicine": "medical", "surg": "surgical",
    "surgery": "surgical", "paeds": "paediatrics", "peds": "paediatrics", "pediatrics": "paediatrics",
    "oncol": "oncology", "onc": "oncology", "a&e": "ed", "er": "ed", "emergency": "ed", "itu": "icu",
    "neuro": "neurology", "ortho": "orthopaedics", "orthopedics": "orthopaedics", "cardio": "cardiology",
}  # fmt: skip
_IDLE = word_set("ward wd unit floor level department dept the of nursing")


def ward_suggestions(words: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Groups of ward names that may be one ward; she decides, and the mapping keeps what she decided.

    >>> ward_suggestions(["5W", "5 West", "5-West", "6 West", "ICU"])
    (('5 West', '5-West', '5W'),)
    """
    groups: dict[str, set[str]] = {}
    for word in {plain_ward(w) for w in words}:
        groups.setdefault(_key(word), set()).add(word)
    return tuple(sorted(tuple(sorted(g, key=_by_length)) for key, g in groups.items() if key and len(g) > 1))


def _by_length(word: str) -> tuple[int, str]:
    return -len(word), word


def _key(ward: str) -> str:
    """A ward's name reduced to what tells it from others: digits, compass letters, short forms."""
    parts = re.findall(r"\d+(?:st|nd|rd|th)\b|\d+|[a-z&]+", ward.lower())
    return " ".join(sorted(_SHORT.get(p, p) for p in parts if p not in _IDLE))
