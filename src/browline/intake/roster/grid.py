"""A roster as a grid: staff down, days across, as ward offices keep it.

From the top: a row of days sets the columns; what stands left of it is told by its headings, else by its cells. Below
it, each row is somebody's, a section (a ward, a grade), a count, or a heading again. A further row of days begins
the next block.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from browline.intake.header import is_totals_row
from browline.intake.roster.dates import days_across
from browline.intake.roster.staff_heading import SEARCHED, Entry, RosterRead, Rows, staff_heading
from browline.intake.wards import plain_ward

_COUNTS = re.compile(
    r"(?i)^\s*(no\.? (of|on)|numbers? (of|on)|required|establishment|shortfall|variance|total|on duty|skill mix|"
    r"staffing|unfilled|key|legend|codes?)\b"
)
# These head a count, or are somebody's surname: the cells tell.
_SHIFT_WORDS = re.compile(
    r"(?i)^\s*(earl(y|ies)|lates?|nights?|(long )?days?|actual|planned|cover|bleep|in charge)\b"
)
_ROLES = re.compile(
    r"(?i)\b(band|grade|rn|rns|nurses?|sisters?|charge|hca|hcas?|assistants?|students?|bank|agency|registered|"
    r"unregistered|staff|support|healthcare|ward manager|matron)\b"
)
_WARD_TITLE = re.compile(
    r"(?i)(?:ward|unit)\s*[:\-]?\s*(?P<ward>[^:,(\[–-]*?)"
    r"(?:\s+(?:off.?duty|roster|rota|duty|duties|from|week|w/c)\b.*)?(?:[:,(\[–-].*)?"
)
_NUMBER_BEHIND = re.compile(r"(?P<name>.*?)\s*[\[(](?P<id>[\w-]*\d[\w-]*)[\])]\s*")
_OVER = 4


@dataclass
class Block:
    """The rows under one row of days: which day a column is, what the staff columns hold, which rows head it."""

    days: dict[int, date]
    staff: dict[int, str]
    headings: tuple[str, ...]
    ward: str = ""
    role: str = ""
    last: tuple[str, str, str, str] = field(default=("", "", "", ""))
    line: int = 0


def first_days(rows: Rows, today: date) -> int | None:
    """Where the first row of days is, from 0; None where there is none."""
    for i in range(min(len(rows), SEARCHED)):
        if days_across(rows[i], rows[max(0, i - _OVER) : i], today):
            return i
    return None


def read_grid(rows: Rows, today: date, wards: Sequence[str] = ()) -> RosterRead | None:
    """The entries of a grid, None where no row of days is found."""
    entries: list[Entry] = []
    block: Block | None = None
    for i, row in enumerate(rows):
        days = days_across(row, rows[max(0, i - _OVER) : i], today)
        if days and (block is None or 2 * len(days) >= len(block.days)):
            block = _block(rows, i, days, wards, block)
        elif block is not None:
            entries += _row(block, i + 1, [cell.strip() for cell in row], wards)
    if block is None:
        return None
    notes = () if entries else ("No row of the roster has a turn of duty in it.",)
    return RosterRead("grid", tuple(entries), notes)


def _block(
    rows: Rows, heading_row: int, days: dict[int, date], wards: Sequence[str], before: Block | None
) -> Block:
    first, width = min(days), max(len(row) for row in rows)
    beside = [j for j in range(width) if j not in days and (j < first or j > max(days))]
    headings = tuple(_heading(rows, heading_row, j) for j in range(width))
    staff = {j: content for j in beside if (content := staff_heading(headings[j])) and headings[j]}
    if not {"identifier", "name", "surname"} & set(staff.values()):
        staff |= _by_content(
            rows[heading_row + 1 :], [j for j in beside if j < first and j not in staff], wards
        )
    if before is not None and not staff:
        staff = before.staff
    ward = before.ward if before else _ward_from_titles(rows[:heading_row], wards)
    return Block(days, staff, headings, ward)


def _heading(rows: Rows, heading_row: int, column: int) -> str:
    """A staff column's heading: beside the days, else in the row above or below (two heading rows)."""
    for i in (heading_row, heading_row - 1, heading_row + 1):
        if 0 <= i < len(rows) and column < len(rows[i]) and staff_heading(rows[i][column]):
            return rows[i][column].strip()
    return ""


def _by_content(rows: Rows, columns: Sequence[int], wards: Sequence[str]) -> dict[int, str]:
    """What columns without a heading hold, by their cells: digits an identifier, ward names, roles, else names."""
    contents: dict[int, str] = {}
    for j in columns:
        cells = [row[j].strip() for row in rows if j < len(row) and row[j].strip()]
        content = _content(cells, wards) if cells else ""
        if content and content not in contents.values():
            contents[j] = content
    return contents


def _content(cells: Sequence[str], wards: Sequence[str]) -> str:
    def mostly(holds: Sequence[bool]) -> bool:
        return sum(holds) > 0.6 * len(holds)

    if mostly([bool(re.fullmatch(r"[\w-]*\d[\w-]*", c)) for c in cells]):
        return "identifier"
    if mostly([plain_ward(c) in wards for c in cells]):
        return "ward"
    if mostly([bool(_ROLES.search(c)) for c in cells]):
        return "role"
    return "name" if mostly([bool(re.search(r"[^\W\d]{2}", c)) for c in cells]) else ""


def _ward_from_titles(rows: Rows, wards: Sequence[str]) -> str:
    """The ward that the titles name: after the word ward, or a known name."""
    for row in rows:
        filled = [cell.strip() for cell in row if cell.strip()]
        for cell, following in zip(filled, [*filled, ""][1:], strict=True):
            known = [w for w in wards if re.search(rf"(?i)\b{re.escape(w)}\b", cell)]
            if len(known) == 1:
                return known[0]
            if title := _WARD_TITLE.fullmatch(cell):
                return plain_ward(title["ward"] or following)
    return ""


def _row(block: Block, number: int, cells: list[str], wards: Sequence[str]) -> list[Entry]:
    """The entries of one row under a row of days; a section is remembered, anything else gives none."""
    staff = [cells[j] for j in range(len(cells)) if j < min(block.days) and cells[j]]
    worked = {j: cells[j] if j < len(cells) else "" for j in block.days}
    filled = [text for text in worked.values() if text]
    if not staff and not filled:
        return []
    if all(cells[j] in ("", block.headings[j]) for j in range(len(cells)) if j in block.staff) and staff:
        return []
    label = staff[0] if staff else ""
    if _is_count(label, filled, cells) or "=" in label:
        return []
    if not filled and len(set(staff)) == 1 and not _identified(block, cells, wards):
        _section(block, label, wards)
        return []
    who = _who(block, number, cells)
    return [Entry(number, *who, day, worked[j], line=block.line) for j, day in block.days.items()]


def _is_count(label: str, filled: Sequence[str], cells: Sequence[str]) -> bool:
    """Whether a row counts people: by its label, or because only numbers stand under the days and nobody beside."""
    numbers = all(re.fullmatch(r"-?\d+([.,]\d+)?%?", text) for text in filled)
    if _COUNTS.match(label) or is_totals_row([label, *[""] * len(cells)]):
        return True
    return numbers and (not label or bool(_SHIFT_WORDS.match(label)))


def _identified(block: Block, cells: Sequence[str], wards: Sequence[str]) -> bool:
    """Whether the identifier's column holds an identifier: digits, or one word that is no ward."""
    identifiers = [
        cells[j] for j, content in block.staff.items() if content == "identifier" and j < len(cells)
    ]
    return any(
        re.search(r"\d", text) or not (" " in text or plain_ward(text) in wards)
        for text in identifiers
        if text
    ) and not any(text.lower().startswith("ward ") for text in identifiers)


def _section(block: Block, label: str, wards: Sequence[str]) -> None:
    """A row with a label only: the ward of the rows below it, or their grade."""
    name = plain_ward(re.sub(r"(?i)^ward\s*[:\-]?\s*", "", label))
    if name in wards or not _ROLES.search(label):
        block.ward = name
    else:
        block.role = label


def _who(block: Block, number: int, cells: Sequence[str]) -> tuple[str, str, str, str]:
    """Identifier, name, role and ward of a row; one without a person goes on about the person above."""

    def cell(content: str) -> str:
        column = next((j for j, column_content in block.staff.items() if column_content == content), None)
        return "" if column is None or column >= len(cells) else " ".join(cells[column].split())

    identifier, name = cell("identifier"), cell("name")
    name = name or " ".join(filter(None, (cell("given"), cell("surname"))))
    if not identifier and (match := _NUMBER_BEHIND.fullmatch(name)):
        identifier, name = match["id"], match["name"]
    role, ward = cell("role") or block.role, cell("ward") or block.ward
    if not identifier and not name:
        before = block.last
        return before[0], before[1], before[2], cell("ward") or before[3]
    block.last, block.line = (identifier, name, role, ward), number
    return block.last
