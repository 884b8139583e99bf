"""Ages and remarks: texts about people that are read for a number or for flags, and never kept."""

import re

from browline.intake.non_numeric_words import plain

_AGE = re.compile(
    r"(?P<more>[<>]?=?)\s*(?P<n>\d{1,3}(?:[.,]\d+)?)\s*(?P<plus>\+?)\s*(?P<unit>[a-z]*)[a-z/. ]*"
)
_YEARS_PER = {"y": 1.0, "m": 1 / 12, "w": 7 / 365.25, "d": 1 / 365.25, "h": 1 / 8766}
OLDEST = 90.0


def read_age(text: str) -> float | None:
    """An age in years; everything above 89 is 90, because an age above 89 can identify a person.

    >>> read_age("90+"), read_age(">89"), read_age("3 mo"), read_age("103"), read_age("adult")
    (90.0, 90.0, 0.25, 90.0, None)
    """
    match = _AGE.fullmatch(plain(text))
    if not match:
        return None
    per = _YEARS_PER.get(match["unit"][:1] or "y")
    if per is None:
        return None
    years = float(match["n"].replace(",", ".")) * per
    if match["more"].startswith(">"):
        years += 0 if "=" in match["more"] else 1
    if years > 130 and years != 999:
        return None
    return None if years == 999 else OLDEST if years > 89 else years


_FLAGS: dict[str, str] = {
    "struck-out": r"struck ?(out|through)|entered[- ]in[- ]error|in error|wrong (patient|pt|chart)|"
    r"void(ed)?|cancell?ed|deleted|delete|invalid|erroneous|mischarted|disregard",
    "corrected": r"correct(ed|ion)|amended|amendment|edited|modified|late entry",
    "retake": r"re-?take[ns]?|re-?taken|re-?done|re-?check(ed)?|repeat(ed)?|(second|2nd) reading|double ?check(ed)?",
    "asleep": r"asleep|sleeping",
    "refused": r"refus(ed|al|es|ing)|declin(ed|es|ing)",
    "off-ward": r"off (the )?(ward|unit|floor)|in theatre|not on (the )?ward",
    "sweating": r"sweat(ing|y)?|diaphoretic|diaphoresis|damp|clammy|perspiring",
    "drink": r"(hot|cold|iced?) (drink|tea|coffee|water|fluids?)|ate|eating|drank|drinking|ice chips",
    "warming": r"warming|blankets?|warmer|radiant heater|cooling|ice packs?|fan",
}
_NOT = r"(?<!not )(?<!no )(?<!non-)(?<!never )(?<!denies )"
_FLAG_PATTERNS = {flag: re.compile(rf"{_NOT}\b(?:{pattern})\b") for flag, pattern in _FLAGS.items()}
FLAGS = tuple(_FLAGS)


def read_note(text: str) -> frozenset[str]:
    """The flags of a remark or status cell, out of `FLAGS`; the text itself is never kept.

    >>> sorted(read_note("Corrected: entered in error, pt asleep")), read_note("not refused")
    (['asleep', 'corrected', 'struck-out'], frozenset())
    """
    remark = plain(text)
    return frozenset(flag for flag, pattern in _FLAG_PATTERNS.items() if pattern.search(remark))
