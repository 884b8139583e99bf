"""The rows of a roster's sheets as they stand, titles and headings too: the layout is found by the intake.

Rosters are small, so a file is held in memory; one too large to be a roster is refused.
"""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from browline.errors import InputRefused
from browline.store.sources.dialect import dialect
from browline.store.sources.letters import digest, letters, survey, utf8_blocks
from browline.store.sources.recognise import Bytes, file_sort, file_start
from browline.store.sources.records import records
from browline.store.sources.sheets import text
from browline.store.sources.workbook import workbook

LARGEST = 64 << 20
LARGEST_LOOKED_AT = 8 << 20
SAMPLE = 1 << 20
Rows = list[list[str]]


@dataclass(frozen=True)
class RosterFile:
    """An opened roster: SHA-256 of its bytes, what sort of file it is, and the rows of each sheet."""

    digest: str
    format: str
    sheets: tuple[Rows, ...]


def open_roster(path: Path) -> RosterFile:
    """The sheets of a CSV file or a workbook; refuses other files, and those too large for a roster."""
    if not path.is_file():
        raise InputRefused("There is no such file.", "Nothing was taken.", "Check its name and folder.")
    if path.stat().st_size > LARGEST:
        raise InputRefused(
            "The file has more than 64 MB.", "No roster is as large.", "Save the roster's sheet alone."
        )
    start, packed = file_start(path)
    given = Bytes(path, packed, lambda done, total: None)
    sort = file_sort(start, packed, path)
    if sort not in ("text", "workbook"):
        raise InputRefused(
            "This is neither a workbook nor a text file.", "Rosters come as XLSX or CSV.", "Save it so."
        )
    sheets = (_text(given),) if sort == "text" else tuple(_workbook(path))
    return RosterFile(digest(lambda: path.open("rb")), "csv" if sort == "text" else "xlsx", sheets)


def first_rows(path: Path) -> tuple[Rows, ...]:
    """The first rows of each sheet, none of a file that could be no roster; a long text is not read to its end."""
    try:
        start, packed = file_start(path)
        if not packed and file_sort(start, packed, path) == "text":
            return (_cut(start.rpartition(b"\n")[0].decode("utf-8", "replace")),)
        return open_roster(path).sheets if path.stat().st_size <= LARGEST_LOOKED_AT else ()
    except InputRefused:
        return ()


def _cut(whole: str) -> Rows:
    how = dialect(whole[:SAMPLE])
    return [list(record.cells) for record in records(whole, how)]


def _text(given: Bytes) -> Rows:
    encoded = letters(*survey(given.open))
    whole = b"".join(utf8_blocks(given.open, encoded)).decode("utf-8", "replace")
    if "\n" not in whole:
        whole = whole.replace("\r", "\n")
    return _cut(whole)


def _workbook(path: Path) -> Iterator[Rows]:
    import python_calamine as calamine

    workbook(path)  # refuses a cell far out, for which the reader of cells would make room
    try:
        book = calamine.CalamineWorkbook.from_object(io.BytesIO(path.read_bytes()))
        for i in range(len(book.sheet_names)):
            sheet = book.get_sheet_by_index(i)
            if sheet.start is not None:
                yield _downwards(sheet, [[text(cell) for cell in row] for row in _from_top(sheet)])
    except (calamine.CalamineError, OSError):
        raise InputRefused(
            "The workbook is damaged, locked or of no kind we read.",
            "A roster must open.",
            "Save it as XLSX.",
        ) from None


def _from_top(sheet: Any) -> list[list[Any]]:
    """The rows of a sheet from its first, so that numbers are the file's own."""
    rows = [list(row) for row in sheet.iter_rows()]
    missing = sheet.total_height - len(rows)
    return [[] for _ in range(max(missing, 0))] + rows


def _downwards(sheet: Any, rows: Rows) -> Rows:
    """Cells merged downwards filled with what they show; merges across are left to the headings' reader."""
    first_column = sheet.start[1]
    for (top, first), (bottom, last) in sheet.merged_cell_ranges or ():
        if first == last and top < len(rows) and 0 <= first - first_column < len(rows[top]):
            for row in range(top + 1, min(bottom + 1, len(rows))):
                rows[row][first - first_column] = (
                    rows[row][first - first_column] or rows[top][first - first_column]
                )
    return rows
