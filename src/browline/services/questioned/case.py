"""One question as it is written down: plain words, lists and numbers, the same from a page and from a file.

    {"readings": [{"value": "38.4", "unit": "C", "site": "temporal", "minutes_ago": 5, "instrument": "FS-07",
                   "prepared": false}],
     "answers": {"damp": "yes"}, "age": "adult", "care": "ward", "flags": ["neutropenia"], "core_probe": "",
     "another": true, "fever_c": 38.0, "low_c": 35.0, "costs": {"missed_fever": 10}}

Only `readings` is needed. A word that is not known is refused and never passed over: a slip in "answers" would
otherwise change the answer without a sign.
"""

from collections.abc import Iterable, Mapping
from dataclasses import fields
from math import isfinite
from typing import TypedDict, TypeVar, cast

from browline.errors import InputRefused, Refusal
from browline.questioned.problem import READ_SITES, Costs, Reading
from browline.services.questioned.contraindications import AGES, check_flags
from browline.services.questioned.parse import site_typed, value_typed

T = TypeVar("T")

READING = ("value", "unit", "site", "minutes_ago", "instrument", "prepared")
CASE = (
    "readings", "answers", "age", "care", "flags", "core_probe", "another", "fever_c", "low_c", "costs",
)  # fmt: skip
CARE: dict[str, str] = {"ward": "on a ward", "intensive": "in intensive care"}
COSTS = tuple(field.name for field in fields(Costs))


def readings_of(case: Mapping[str, object]) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """The readings of a case, and what was taken otherwise than written; a refusal says which reading it is."""
    rows = _of_type(case.get("readings"), list, "readings", "a list")
    readings, mended = [], []
    for number, row in enumerate(rows, start=1):
        try:
            reading, notes = reading_of(row)
        except Refusal as refusal:
            raise InputRefused(refusal.came, refusal.wanted, refusal.do).named(f"Reading {number}") from None
        readings.append(reading)
        mended += [f"Reading {number}, {note}" for note in notes]
    return tuple(readings), tuple(mended)


def reading_of(given: object) -> tuple[Reading, tuple[str, ...]]:
    """One reading, and what was mended in it."""
    row = _object(given, READING, "a reading")
    value, mended = value_typed(str(_needed(row, "value")), cast(str, row.get("unit") or ""))
    reading = Reading(
        value_c=value,
        site=site_typed(_of_type(_needed(row, "site"), str, "site", "a word")),
        minutes_ago=number_of(row.get("minutes_ago", 0), "minutes ago"),
        instrument=_of_type(row.get("instrument") or "", str, "instrument", "a name").strip(),
        prepared=_of_type(row.get("prepared", False), bool, "prepared", "true or false"),
    )
    return reading, mended


class Rest(TypedDict):
    """Everything of a case but its readings and lines; the words of `answers` are checked by the room."""

    answers: dict[str, str]
    age: str
    care: str
    flags: frozenset[str]
    core_probe: str
    another: bool
    costs: Costs


def rest_of(given: object) -> Rest:
    """Everything of a case but its readings, checked as far as words and kinds go, with what was left out filled in."""
    case = _object(given, CASE, "a question")
    age = _one_of(case.get("age", "adult"), AGES, "age")
    care = _one_of(case.get("care", "ward"), CARE, "care")
    probe = _one_of(case.get("core_probe") or "", ("", *READ_SITES), "core probe")
    flags = frozenset(str(word) for word in _of_type(case.get("flags", []), list, "flags", "a list"))
    check_flags(flags)
    return {
        "answers": cast(dict[str, str], dict(_mapping(case.get("answers", {}), "answers"))),
        "age": age,
        "care": care,
        "flags": flags,
        "core_probe": probe,
        "another": _of_type(case.get("another", True), bool, "another", "true or false"),
        "costs": _costs(case.get("costs") or {}),
    }


def line_of(case: Mapping[str, object], name: str, otherwise: float) -> float:
    """A line of the case in °C, the one in force where it has none."""
    given = case.get(name)
    return otherwise if given is None else number_of(given, name)


def number_of(given: object, what: str) -> float:
    """A number, from a number or its text; refused where it is neither."""
    try:
        number = float(str(given).replace(",", "."))
    except ValueError:
        number = float("nan")
    if not isfinite(number):
        raise InputRefused(f"{given!r} was given for {what}.", "It is a number.", "Mend it.")
    return number


def _costs(given: object) -> Costs:
    return Costs(**{name: number_of(value, name) for name, value in _object(given, COSTS, "costs").items()})


def _needed(row: Mapping[str, object], name: str) -> object:
    if row.get(name) in (None, ""):
        raise InputRefused(f"There is no {name}.", "A reading has a value and a site.", "Add it.")
    return row[name]


def _object(given: object, known: tuple[str, ...], what: str) -> Mapping[str, object]:
    row = _mapping(given, what)
    for word in row:
        if word not in known:
            raise InputRefused(
                f"{word!r} is no part of {what}.", f"Known are {', '.join(known)}.", "Mend it."
            )
    return row


def _one_of(word: object, known: Iterable[str], what: str) -> str:
    if word not in tuple(known):
        entry = ", ".join(word for word in known if word)
        raise InputRefused(f"The {what} is {word!r}.", f"Known are {entry}.", "Choose one of these.")
    return str(word)


def _mapping(given: object, what: str) -> Mapping[str, object]:
    if not isinstance(given, Mapping):
        raise InputRefused(f"{given!r} was given for {what}.", "It is an object.", "Mend it.")
    return given


def _of_type(given: object, kind: type[T], what: str, wanted: str) -> T:
    if not isinstance(given, kind):
        raise InputRefused(f"{given!r} was given for {what}.", f"It is {wanted}.", "Mend it.")
    return given
