"""Canonical names and types of every table: one row a kind of import, from which everything else derives.

A kind is one sort of file she brings (readings, instruments, ...), in a file of its own here. Each column says what
it holds in her words, so that the request to the data team, the mapping screen and the reference all read the same.
To add a kind: its file, and its name in the two places below.
"""

from browline.columns.checks import CHECKS
from browline.columns.cleanings import CLEANINGS, PARTS
from browline.columns.column import Column, ImportKind, Reader, Signs, Type
from browline.columns.events import EVENTS
from browline.columns.instruments import INSTRUMENT_KINDS, INSTRUMENTS
from browline.columns.people import PEOPLE
from browline.columns.readings import CARE, READINGS
from browline.columns.roster import ROSTER
from browline.columns.sessions import SESSIONS
from browline.columns.shared import MODES

__all__ = [
    "CARE",
    "IMPORT_KINDS",
    "INSTRUMENT_KINDS",
    "KINDS",
    "KIND_IDS",
    "MODES",
    "PARTS",
    "Column",
    "ImportKind",
    "Reader",
    "Signs",
    "Type",
    "column",
    "reference_rows",
    "required",
]

ROWS = (
    READINGS,
    INSTRUMENTS,
    CLEANINGS,
    CHECKS,
    PEOPLE,
    SESSIONS,
    ROSTER,
    EVENTS,
)

IMPORT_KINDS: dict[str, ImportKind] = {row.id: row for row in ROWS}

# The columns of the kinds whose headings are mapped; a grid is read by layouts of its own.
KINDS: dict[str, tuple[Column, ...]] = {row.id: row.columns for row in ROWS if row.reader == "columns"}

# Every kind as typed after --as, the grids last.
KIND_IDS: tuple[str, ...] = (*KINDS, *(row.id for row in ROWS if row.reader == "grid"))


def column(kind: str, name: str) -> Column:
    """The column of a kind by its canonical name; KeyError where there is none."""
    return {c.name: c for c in KINDS[kind]}[name]


def required(kind: str) -> tuple[str, ...]:
    """Names of the columns that a file of this kind must have."""
    return tuple(c.name for c in KINDS[kind] if c.required)


def reference_rows() -> tuple[tuple[str, str, str], ...]:
    """The kinds as the reference lists them: id, columns that must be there, the others."""

    def names(kind: ImportKind, needed: bool) -> str:
        return ", ".join(f"`{c.name}`" for c in kind.columns if c.required is needed)

    return tuple((row.id, names(row, True), names(row, False)) for row in ROWS)
