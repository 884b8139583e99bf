"""Canonical names and types of every table: the contract, the forms and the mapping derive from it.

A kind is one sort of file she brings (readings, instruments, ...). Each column says what it holds in her
words, so that the request to the data team, the mapping screen and the reference all read the same.
"""

from dataclasses import dataclass
from typing import Literal

Type = Literal["time", "date", "number", "unit", "site", "identifier", "word", "closed"]


@dataclass(frozen=True)
class Column:
    """One column: `name` as in the contract, `type` of its cells, whether it must be there, its meaning."""

    name: str
    type: Type
    required: bool
    meaning: str
    choices: tuple[str, ...] = ()


CARE = ("ward", "intensive", "emergency", "theatre")
MODES = ("core", "oral-equivalent", "direct")
INSTRUMENT_KINDS = ("forehead-scan", "ear", "contact", "probe")
SESSION_OUTCOMES = ("attended", "signed-off", "not-yet")
PARTS = ("lens", "case")

READINGS = (
    Column("time", "time", True, "when the temperature was taken"),
    Column("value", "number", True, "the temperature as charted"),
    Column("patient", "identifier", False, "whose it is; a keyed pseudonym before anything is stored"),
    Column("stay", "identifier", False, "which admission or visit; becomes a keyed pseudonym too"),
    Column("unit", "unit", False, "degrees Celsius or Fahrenheit", choices=("C", "F")),
    Column("site", "site", False, "where on the body"),
    Column("method", "word", False, "how it was taken, where the export says so"),
    Column("instrument", "identifier", False, "which thermometer (asset or serial number)"),
    Column("person", "identifier", False, "who charted it; may be a shared log-in"),
    Column("ward", "word", False, "the ward or unit"),
    Column("care", "closed", False, "kind of care", choices=CARE),
    Column("age", "number", False, "age in years; 90 and over is kept as 90"),
    Column("entered", "time", False, "when it was keyed"),
    Column("note", "word", False, "remarks; read for flags, never stored"),
)

INSTRUMENTS = (
    Column("instrument", "identifier", True, "which thermometer (asset or serial number)"),
    Column("unit", "unit", False, "the unit it is set to", choices=("C", "F")),
    Column("mode", "closed", False, "what its number stands for", choices=MODES),
    Column("kind", "closed", False, "what sort of thermometer", choices=INSTRUMENT_KINDS),
    Column("model", "word", False, "the model, as on its label"),
    Column("ward", "word", False, "its home ward"),
    Column("from", "date", False, "in use from"),
    Column("until", "date", False, "in use until"),
)

CLEANINGS = (
    Column("instrument", "identifier", True, "which thermometer"),
    Column("time", "time", True, "when it was cleaned"),
    Column("part", "closed", False, "lens or case", choices=PARTS),
    Column("agent", "word", False, "what it was cleaned with"),
    Column("person", "identifier", False, "who cleaned it"),
)

CHECKS = (
    Column("instrument", "identifier", True, "which thermometer"),
    Column("time", "time", True, "when it was checked"),
    Column("reference", "number", True, "what the reference showed"),
    Column("shown", "number", True, "what the thermometer showed"),
    Column("unit", "unit", False, "unit of both", choices=("C", "F")),
    Column("mode", "closed", False, "the mode it was checked in", choices=MODES),
    Column("ambient", "number", False, "room temperature"),
    Column("uncertainty", "number", False, "expanded uncertainty of the reference"),
    Column("result", "word", False, "what the checker concluded"),
    Column("person", "identifier", False, "who checked it"),
)

PEOPLE = (
    Column("person", "identifier", True, "the staff identifier as charted with readings"),
    Column("name", "word", False, "the name as it should stand on sheets; names of staff only"),
    Column("role", "word", False, "role"),
    Column("ward", "word", False, "home ward"),
    Column("from", "date", False, "employed from"),
    Column("until", "date", False, "employed until"),
)

SESSIONS = (
    Column("person", "identifier", True, "who came"),
    Column("time", "time", True, "when"),
    Column("ward", "word", False, "where"),
    Column("outcome", "closed", False, "attended, signed off, or not yet", choices=SESSION_OUTCOMES),
    Column("assessor", "identifier", False, "who assessed"),
)

EVENTS = (
    Column("time", "time", True, "when it happened"),
    Column("what", "word", True, "what happened (form changed, instruments delivered, ...)"),
    Column("ward", "word", False, "where, if not everywhere"),
)

# A roster is read by its own layouts (a grid, or a list under these headings), not by a mapping: it is beside KINDS.
ROSTER = (
    Column("person", "identifier", True, "staff identifier, or a name that one person has"),
    Column("date", "date", True, "the day; a night belongs to the day it begins"),
    Column("shift", "word", True, "the code of the turn; what it stands for is settled once"),
    Column("ward", "word", False, "where, if not on the home ward"),
    Column("start", "time", False, "when it begins, where the code does not say"),
    Column("end", "time", False, "when it ends"),
)

KINDS: dict[str, tuple[Column, ...]] = {
    "readings": READINGS,
    "instruments": INSTRUMENTS,
    "cleanings": CLEANINGS,
    "checks": CHECKS,
    "people": PEOPLE,
    "sessions": SESSIONS,
    "events": EVENTS,
}


def column(kind: str, name: str) -> Column:
    """The column of a kind by its canonical name; KeyError where there is none."""
    return {c.name: c for c in KINDS[kind]}[name]


def required(kind: str) -> tuple[str, ...]:
    """Names of the columns that a file of this kind must have."""
    return tuple(c.name for c in KINDS[kind] if c.required)
