"""Workbooks (XLSX, XLSM, XLSB, XLS, ODS): each sheet with anything in it as a table, hidden ones too.

Typed dates come out as ISO text, numbers as the shortest text with the 15 digits a spreadsheet keeps, so
that 36.6 is 36.6 and 12345 is 12345. Numbers in unformatted cells stay numbers, even if they count days.
A workbook is held in memory: a sheet has at most 1,048,576 rows.
"""

import datetime as dt
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING, Any

from .columns import gone_after, hold
from .heading import heading, named
from .recognise import OLD_WORKBOOK, Bytes
from .refused import refused
from .table import Progress, Table
from .workbook import Beyond, DateSystem, workbook

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

GRID = 60
LOCKED = "EncryptedPackage".encode("utf-16-le")
BATCH = 50_000
Merge = tuple[tuple[int, int], tuple[int, int]]


def open_sheets(given: Bytes) -> tuple[Table, ...]:
    """A table for each sheet that holds anything, in the order of the workbook."""
    import python_calamine as calamine

    data = given.path.read_bytes()
    if data.startswith(OLD_WORKBOOK) and LOCKED in data:
        raise refused("The workbook is locked with a password.", "Save a copy without one, and give that.")
    beyond, visible = workbook(given.path), calamine.SheetVisibleEnum.Visible
    try:
        book = calamine.CalamineWorkbook.from_object(io.BytesIO(data))
        tables = [
            _table(
                sheet, i + 1, meta.visible != visible, _beyond(beyond.sheets, i), beyond.dates, given.progress
            )
            for i, meta in enumerate(book.sheets_metadata)
            if meta.typ == calamine.SheetTypeEnum.WorkSheet
            and (sheet := book.get_sheet_by_index(i)).start is not None
        ]
    except (calamine.CalamineError, OSError):
        raise refused(
            "The workbook is damaged or of no kind we read.", "Save it as XLSX, and give that."
        ) from None
    if not tables:
        raise refused("Every sheet of the workbook is empty.", "Check that the export has rows.")
    return tuple(tables)


def _beyond(sheets: Sequence[Beyond], i: int) -> Beyond:
    return sheets[i] if i < len(sheets) else Beyond()


def _table(
    sheet: Any, number: int, hidden: bool, beyond: Beyond, dates: DateSystem | None, progress: Progress
) -> Table:
    grid = _grid(sheet, beyond)
    head = heading(list(islice(_texts(replace(grid, downwards=())), GRID)))
    grid = replace(grid, downwards=tuple(m for m in grid.downwards if m[0][0] >= head.above))
    headings = named(head.names, grid.width)

    def read(con: "DuckDBPyConnection", name: str) -> Iterator[int]:
        with gone_after(con, name):
            rows = islice(((i, cells, None) for i, cells in enumerate(_texts(grid), 1)), head.above, None)
            while batch := list(islice(rows, BATCH)):
                progress(batch[-1][0], sheet.total_height)
                if count := hold(con, name, len(headings), batch):
                    yield count

    notes = (*_notes(number, hidden, beyond, grid.downwards), *head.notes)
    return Table(headings=headings, label=f"sheet {number}", notes=notes, read=read, dates=dates)


def _notes(number: int, hidden: bool, beyond: Beyond, downwards: Sequence[Merge]) -> Iterator[str]:
    """Sentences about a sheet."""
    if hidden:
        yield f"Sheet {number} is hidden; it was read."
    if beyond.hidden:
        yield f"Hidden rows, read like the others: {beyond.hidden}."
    if filled := sum(bottom - top for (top, _), (bottom, _) in downwards):
        yield f"Cells merged downwards, filled with what they show: {filled}."
    if beyond.errors:
        yield f"Cells with an error of the spreadsheet, kept as text: {len(beyond.errors)}."


@dataclass(frozen=True)
class _Grid:
    """A sheet from its first column with anything in it; places are (row, column) from 0 within that.

    `downwards`: cells of one column merged over several rows, the first of which holds what all show.
    `clocked`: which columns hold times of day. In these a date alone is a midnight: cells do not tell apart.
    """

    sheet: Any
    width: int
    downwards: tuple[Merge, ...]
    errors: dict[tuple[int, int], str]
    clocked: tuple[bool, ...]


def _grid(sheet: Any, beyond: Beyond) -> _Grid:
    first_column, width = sheet.start[1], sheet.end[1] + 1 - sheet.start[1]
    downwards = tuple(
        ((top, first - first_column), (bottom, last - first_column))
        for (top, first), (bottom, last) in sheet.merged_cell_ranges or ()
        if first == last
    )
    errors = {(row, column - first_column): value for (row, column), value in beyond.errors.items()}
    clocked = [False] * width
    for cells in sheet.iter_rows():
        for j, cell in enumerate(cells):
            clocked[j] |= type(cell) is dt.datetime
    return _Grid(sheet=sheet, width=width, downwards=downwards, errors=errors, clocked=tuple(clocked))


def _texts(grid: _Grid) -> Iterator[list[str]]:
    """Every row of a sheet from its first, as text, with what cells merged downwards show."""
    source = {
        (row, column): (top, column)
        for (top, column), (bottom, _) in grid.downwards
        for row in range(top + 1, bottom + 1)
    }
    merged = dict.fromkeys(source.values(), "")
    for i, row in enumerate(grid.sheet.iter_rows()):
        cells = [
            cell if type(cell) is str else text(cell, c) for cell, c in zip(row, grid.clocked, strict=True)
        ]
        if grid.errors:
            cells = [cell or grid.errors.get((i, j), "") for j, cell in enumerate(cells)]
        if source:
            merged.update({(i, j): cell for j, cell in enumerate(cells) if (i, j) in merged})
            cells = [cell or merged.get(source.get((i, j), (-1, -1)), "") for j, cell in enumerate(cells)]
        yield cells


def text(cell: Any, clocked: bool = False) -> str:
    """A typed cell as text.

    >>> text(36.900000000000006), text(12345.0), text(True), text(dt.date(2026, 3, 1), clocked=True)
    ('36.9', '12345', 'TRUE', '2026-03-01 00:00:00')
    """
    match cell:
        case str():
            return cell
        case bool():
            return "TRUE" if cell else "FALSE"
        case float():
            return str(int(cell)) if cell.is_integer() and abs(cell) < 1e17 else f"{cell:.15g}"
        case dt.datetime():
            return _second(cell).isoformat(sep=" ")
        case dt.date():
            return f"{cell.isoformat()} 00:00:00" if clocked else cell.isoformat()
        case dt.timedelta():
            minutes, seconds = divmod(round(cell.total_seconds()), 60)
            return f"{minutes // 60:02d}:{minutes % 60:02d}:{seconds:02d}"
        case _:
            return str(cell)


def _second(moment: dt.datetime) -> dt.datetime:
    """A moment to its second: days counted in floating point miss it by a millisecond or so."""
    return (moment + dt.timedelta(milliseconds=500)).replace(microsecond=0)
