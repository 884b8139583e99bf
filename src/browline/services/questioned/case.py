"""One question as it is written down: plain words, lists and numbers, the same from a page and from a file.

    {"readings": [{"value": "38.4", "unit": "C", "site": "temporal", "minutes_ago": 5, "instrument": "FS-07",
                   "prepared": false}],
     "answers": {"damp": "yes"}, "age": "adult", "care": "ward", "flags": ["neutropenia"], "core_probe": "",
     "another": true, "fever_c": 38.0, "low_c": 35.0, "costs": {"missed_fever": 10}}

Only `readings` is needed. A word that is not known is refused and never passed over: a slip in "answers" would
otherwise change the answer without a sign.
"""

from collections.abc import Mapping
from dataclasses import fields
from math import isfinite
from typing import Any

from browline.errors import InputRefused, Refusal
from browline.questioned.problem import READ_SITES, Costs, Reading
from browline.services.questioned.contraindications import AGES, check_flags
from browline.services.questioned.parse import site_typed, value_typed

READING = ("value", "unit", "site", "minutes_ago", "instrument", "prepared")
CASE = (
    "readings", "answers", "age", "care", "flags", "core_probe", "another", "fever_c", "low_c", "costs",
)  # fmt: skip
CARE: dict[str, str] = {"ward": "on a ward", "intensive": "in intensive care"}
COSTS = tuple(field.name for field in fields(Costs))


def readings_of(case: Mapping[str, Any]) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """The readings of a case, and what was taken otherwise than written; a refusal says which reading it is."""
    rows = _of_type(case.get("readings"), list, "readings", "a list")
    made, mended = [], []
    for number, row in enumerate(rows, start=1):
        try:
            reading, notes = reading_of(row)
        except Refusal as refusal:
            raise InputRefused(refusal.came, refusal.wanted, refusal.do).of(f"Reading {number}") from None
        made.append(reading)
        mended += [f"Reading {number}, {note}" for note in notes]
    return tuple(made), tuple(mended)


def reading_of(row: Any) -> tuple[Reading, tuple[str, ...]]:
    """One reading, and what was mended in it."""
    _check_words(row, READING, "a reading")
    value, mended = value_typed(str(_needed(row, "value")), row.get("unit") or "")
    reading = Reading(
        value_c=value,
        site=site_typed(_of_type(_needed(row, "site"), str, "site", "a word")),
        minutes_ago=number_of(row.get("minutes_ago", 0), "minutes ago"),
        instrument=_of_type(row.get("instrument") or "", str, "instrument", "a name").strip(),
        prepared=_of_type(row.get("prepared", False), bool, "prepared", "true or false"),
    )
    return reading, mended


def rest_of(case: Any) -> dict[str, Any]:
    """Everything of a case but its readings, checked as far as words and kinds go, with what was left out filled in."""
    _check_words(case, CASE, "a question")
    age, care, probe = (
        case.get("age", "adult"), case.get("care", "ward"), case.get("core_probe") or "",
    )  # fmt: skip
    _check_one(age, AGES, "age")
    _check_one(care, CARE, "care")
    _check_one(probe, ("", *READ_SITES), "core probe")
    flags = frozenset(str(word) for word in _of_type(case.get("flags", []), list, "flags", "a list"))
    check_flags(flags)
    return {
        "answers": dict(_of_type(case.get("answers", {}), Mapping, "answers", "an object")),
        "age": age,
        "care": care,
        "flags": flags,
        "core_probe": probe,
        "another": _of_type(case.get("another", True), bool, "another", "true or false"),
        "costs": _costs(case.get("costs") or {}),
    }


def line_of(case: Mapping[str, Any], name: str, otherwise: float) -> float:
    """A line of the case in °C, the one in force where it has none."""
    given = case.get(name)
    return otherwise if given is None else number_of(given, name)


def number_of(given: Any, what: str) -> float:
    """A number, from a number or its text; refused where it is neither."""
    try:
        number = float(str(given).replace(",", "."))
    except ValueError:
        number = float("nan")
    if not isfinite(number):
        raise InputRefused(f"{given!r} was given for {what}.", "It is a number.", "Mend it.")
    return number


def _costs(given: Any) -> Costs:
    _check_words(given, COSTS, "costs")
    return Costs(**{name: number_of(value, name) for name, value in given.items()})


def _needed(row: Mapping[str, Any], name: str) -> Any:
    if row.get(name) in (None, ""):
        raise InputRefused(f"There is no {name}.", "A reading has a value and a site.", "Add it.")
    return row[name]


def _check_words(row: Any, known: tuple[str, ...], what: str) -> None:
    _of_type(row, Mapping, what, "an object")
    for word in row:
        if word not in known:
            raise InputRefused(
                f"{word!r} is no part of {what}.", f"Known are {', '.join(known)}.", "Mend it."
            )


def _check_one(word: Any, known: Any, what: str) -> None:
    if word not in tuple(known):
        said = ", ".join(word for word in known if word)
        raise InputRefused(f"The {what} is {word!r}.", f"Known are {said}.", "Choose one of these.")


def _of_type(given: Any, kind: Any, what: str, wanted: str) -> Any:
    if not isinstance(given, kind):
        raise InputRefused(f"{given!r} was given for {what}.", f"It is {wanted}.", "Mend it.")
    return given
