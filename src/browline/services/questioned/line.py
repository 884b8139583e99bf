"""One line of the log of questioned readings, and what may stand in it."""

import uuid
from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date, timedelta

from browline import display
from browline.errors import InputRefused, NotUnderstood
from browline.instruments.questioned import AGES, CAUSES, DEEDS, NOT_FOUND, NOTHING, PARTS_OF_DAY
from browline.quantities import SITES
from browline.weeks import monday_of

FEWEST_VALUES, MOST_VALUES = 2, 20
# What a thermometer can show, from lowest to highest (cf. published plausibility rules of 23 to 45 °C, 73 to 113 °F).
SHOWN = {"C": (23.0, 45.0), "F": (73.0, 113.0)}
WEEKS_BACK = 26


@dataclass(frozen=True)
class Value:
    """One value as it was read: `site` of `SITES`, `unit` C or F; `instrument` "" for one not in the register."""

    site: str
    value: float
    unit: str
    instrument: str = ""


@dataclass(frozen=True)
class Line:
    """One time that a reading was questioned, as entered; the words are those of the closed lists.

    `week`: the Monday. `accepted`: the place in `values` of the one that was accepted, or None.
    """

    week: date
    values: tuple[Value, ...]
    cause: str
    done: tuple[str, ...]
    accepted: int | None = None
    others: tuple[str, ...] = ()
    part: str = ""
    ward: str = ""
    age: str = ""
    key: uuid.UUID = field(default_factory=uuid.uuid4)


def check(line: Line, today: date, instruments: Collection[str], wards: Collection[str]) -> None:
    """Refuse a line that cannot be, in words; `instruments` and `wards` are those it may name."""
    if not FEWEST_VALUES <= len(line.values) <= MOST_VALUES:
        raise InputRefused(
            f"The line has {len(line.values)} value{'' if len(line.values) == 1 else 's'}.",
            f"It has from {FEWEST_VALUES} to {MOST_VALUES}: the one in question, and what it was held against.",
            "Enter each value that was read.",
        )
    if line.accepted is not None and not 0 <= line.accepted < len(line.values):
        raise NotUnderstood(
            "The value accepted is none of the line.", "It is one of those entered, or none.", "Choose."
        )
    for value in line.values:
        _check_value(value, instruments)
    _check_week(line.week, today)
    _check_words(line)
    if line.ward:
        one_of(line.ward, wards, "a ward of this book")


def _check_value(value: Value, known: Collection[str]) -> None:
    one_of(value.site, SITES, "a site")
    one_of(value.unit, SHOWN, "a unit")
    low, high = SHOWN[value.unit]
    if not low <= value.value <= high:
        other = "F" if value.unit == "C" else "C"
        meant = f" Is °{other} meant?" if SHOWN[other][0] <= value.value <= SHOWN[other][1] else ""
        raise InputRefused(
            f"{value.value:g} °{value.unit} is nothing a thermometer shows.",
            f"Values are from {low:g} to {high:g} °{value.unit}.",
            f"Look at the value and its unit.{meant}",
        )
    if value.instrument and value.instrument not in known:
        raise InputRefused(
            f"{value.instrument} is not in the register.",
            "A line names instruments of the register only.",
            "Choose one from the list, or say that it is not in the register.",
        )


def _check_week(week: date, today: date) -> None:
    if week != monday_of(week) or not monday_of(today) - timedelta(weeks=WEEKS_BACK) <= week <= today:
        raise InputRefused(
            f"{display.day(week)} is not the Monday of one of the last {WEEKS_BACK} weeks.",
            "A line says the week, and nothing finer.",
            "Choose the week from the list.",
        )


def _check_words(line: Line) -> None:
    one_of(line.cause, CAUSES, "a cause")
    for cause in line.others:
        one_of(cause, CAUSES, "a cause")
    for deed in line.done:
        one_of(deed, DEEDS, "something that was done")
    for word, allowed, what in ((line.part, PARTS_OF_DAY, "a part of the day"), (line.age, AGES, "an age")):
        if word:
            one_of(word, allowed, what)
    if NOT_FOUND in line.others or line.cause in line.others or (line.cause == NOT_FOUND and line.others):
        raise InputRefused(
            "The causes contradict each other.",
            "“Not found” stands alone, and a cause stands once.",
            "Choose the one that led, and tick the others found besides it.",
        )
    if not line.done or (NOTHING in line.done and len(line.done) > 1):
        raise InputRefused(
            "What was done is missing, or contradicts itself.",
            "A line says what was done; “nothing further” stands alone.",
            "Tick what was done.",
        )


def one_of(word: str, allowed: Collection[str], what: str) -> None:
    """Refuse a word that is not on its list."""
    if word not in allowed:
        raise NotUnderstood(
            f"{word!r} is not {what}.", f"Known are {', '.join(allowed)}.", "Choose one of these."
        )
