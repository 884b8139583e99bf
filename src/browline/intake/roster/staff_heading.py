"""What a heading of a roster holds, and what one cell of it is."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from browline.intake.headings import heading_score

Rows = Sequence[Sequence[str]]


SEARCHED = 60


BLANK = ""


@dataclass(frozen=True)
class Entry:
    """One cell of a grid, or one row of a list, as written. `day` is None where it could not be read.

    `row` counts from 1 as in the file. In a grid, blank cells of days are entries too: nobody works there then;
    `line` is the row in which the person is named, 0 in a list.
    """

    row: int
    identifier: str
    name: str
    role: str
    ward: str
    day: date | None
    cell: str
    start: str = BLANK
    end: str = BLANK
    line: int = 0


@dataclass(frozen=True)
class RosterRead:
    """The entries of one sheet, and sentences about how it was read."""

    layout: str
    entries: tuple[Entry, ...]
    notes: tuple[str, ...] = ()


# In this order: "Staff no" is an identifier, "Staff" a name.
_STAFF_HEADINGS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("date", re.compile(r"(?i)\bdates?\b|^day$")),
    ("shift", re.compile(r"(?i)\b(shift|duty|duties|shift code|rota|roster) ?(code|type)?\b")),
    ("start", re.compile(r"(?i)\b(start|starts|from|begins?)\b")),
    ("end", re.compile(r"(?i)\b(end|ends|finish|to|until)\b")),
    ("identifier", re.compile(r"(?i)\b(id|no|nr|number|payroll|badge|assignment|pin|identifier)\b\.?")),
    ("surname", re.compile(r"(?i)\b(surname|last ?name|family ?name)\b")),
    ("given", re.compile(r"(?i)\b(forename|first ?name|given ?name)\b")),
    ("role", re.compile(r"(?i)\b(role|grade|band|post|job|title|position|designation)\b")),
    ("ward", re.compile(r"(?i)\b(ward|unit|area|dept|department|location|base)\b")),
    ("name", re.compile(r"(?i)\b(names?|staff|nurse|employee|person|who|member)\b")),
)


def staff_heading(text: str) -> str:
    """What a heading beside the days holds: identifier, name, role, ward, ... or "" where it is none of them.

    >>> staff_heading("Staff no."), staff_heading("Staff name"), staff_heading("Contracted hours")
    ('identifier', 'name', '')
    """
    plain = " ".join(re.sub(r"[_/]", " ", text).split())
    if re.search(r"(?i)\b(hours?|hrs|wte|fte|total|balance|notes?|comments?|phone|tel|e-?mail)\b", plain):
        return ""
    content = next((content for content, pattern in _STAFF_HEADINGS if pattern.search(plain)), "")
    return content or ("identifier" if heading_score(plain, "person") >= 0.95 else "")
