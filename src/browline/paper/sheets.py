"""Findings, set-aside rows and look-back lists as spreadsheets that cannot run anything.

Every cell is written as the text or number it is; a text that a spreadsheet program would take for a formula
gets an apostrophe before it. Nothing passes through a temporary folder.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from browline import display
from browline.documents.finding import BookFinding
from browline.findings import OUTCOMES
from browline.paper.whole import write_whole
from browline.services.review.report.document import Report
from browline.services.review.report.status import impersonal, subject
from browline.services.review.sampling import HEADINGS, AuditSample, table

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

Cell = str | int | float | None

RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
LONGEST_TEXT = 32_000
MOST_ROWS = 1_000_000
WIDEST = 60

FINDING_HEADINGS = (
    "subject",
    "name",
    "kind",
    "state",
    "effect",
    "low",
    "high",
    "unit",
    "probability",
    "readings",
    "since",
    "compared with",
    "sentence",
    "likely causes",
    "next step",
    "outcomes",
)


@dataclass(frozen=True)
class Sheet:
    """A name, headings, and rows of texts and numbers as long as the headings."""

    name: str
    headings: tuple[str, ...]
    rows: Sequence[tuple[Cell, ...]]


def write_xlsx(sheets: Sequence[Sheet], path: Path | str, *, created: datetime | None = None) -> Path:
    """Write the sheets to `path`; the file appears whole or not at all. `created` is stamped into it."""
    from io import BytesIO

    import xlsxwriter

    content = BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with xlsxwriter.Workbook(content, options) as book:
        if created is not None:
            book.set_properties({"created": created.replace(tzinfo=None)})
        strong = book.add_format({"bold": True, "bottom": 1})
        for name, sheet, rows in _parts(sheets):
            _fill(book.add_worksheet(name), sheet.headings, rows, strong)
    write_whole(Path(path), content.getvalue())
    return Path(path)


def findings_sheet(report: Report) -> Sheet:
    """One row a finding. Findings about people stay in the report's own page."""
    return Sheet(
        "findings",
        FINDING_HEADINGS,
        [_finding(*subject(f), f) for f in impersonal(report.findings)],
    )


def set_aside_sheet(rows: Iterable[Mapping[str, object]]) -> Sheet:
    """One row a row set aside: its number in the file, the reason, and the mapped fields as they came."""
    listed = list(rows)
    fields = list(dict.fromkeys(key for row in listed for key in row))
    first = [key for key in ("row", "reason", "sentence") if key in fields]
    headings = (*first, *(key for key in fields if key not in first))
    return Sheet("set aside", headings, [tuple(_plain(row.get(key)) for key in headings) for row in listed])


def look_back_sheet(
    subject_name: str, files: Iterable[tuple[str, Iterable[int]]], withdrawn: str = ""
) -> Sheet:
    """The rows of each file to look back at for one finding; why the finding was `withdrawn`, on every row."""
    rows = [(subject_name, label, number) for label, numbers in files for number in numbers]
    headings = ("name", "file", "row in file")
    if not withdrawn:
        return Sheet("look back", headings, rows)
    return Sheet(
        "look back, withdrawn", (*headings, "the finding was withdrawn"), [(*r, withdrawn) for r in rows]
    )


def sample_sheet(drawn: AuditSample) -> Sheet:
    """The charts of an audit sample in the order to look at them, with an empty column for the answers."""
    return Sheet(f"seed {drawn.seed}", HEADINGS, table(drawn))


def harmless(text: str) -> str:
    """The text as a spreadsheet program will show it and never run it.

    >>> harmless("=1+1"), harmless("Ward 5")
    ("'=1+1", 'Ward 5')
    """
    shortened = text if len(text) <= LONGEST_TEXT else text[:LONGEST_TEXT] + " …"
    return f"'{shortened}" if shortened.lstrip(" \u00a0").startswith(RISKY) else shortened


def _finding(kind: str, name: str, f: BookFinding) -> tuple[Cell, ...]:
    few = f.n < display.FEWEST
    sizes = (None, None, None) if few else (f.effect, f.low, f.high)
    outcomes = [OUTCOMES.get(o.code, o.code) for o in f.outcomes]
    return (
        kind,
        name,
        f.kind,
        f.state,
        *sizes,
        f.unit,
        f.probability,
        display.FEWER if few else f.n,
        f.since,
        f.comparator,
        f.sentence,
        "; ".join(c.cause for c in f.causes),
        f.action,
        "; ".join([*outcomes, *([f.withdrawn] if f.withdrawn else [])]),
    )


def _plain(value: object) -> Cell:
    """A cell of its own kind; anything else as its text."""
    if isinstance(value, bool):
        return str(value)
    return value if value is None or isinstance(value, str | int | float) else str(value)


def _parts(sheets: Sequence[Sheet]) -> Iterator[tuple[str, Sheet, Iterable[tuple[Cell, ...]]]]:
    """Sheets too long for a spreadsheet are continued on further ones."""
    for sheet in sheets:
        rows = iter(sheet.rows)
        for part in range(max(1, -(-len(sheet.rows) // MOST_ROWS))):
            name = sheet.name if part == 0 else f"{sheet.name} {part + 1}"
            yield name, sheet, islice(rows, MOST_ROWS)


def _fill(
    page: "Worksheet", headings: Sequence[str], rows: Iterable[tuple[Cell, ...]], strong: "Format"
) -> None:
    widths = [len(heading) for heading in headings]
    for column, heading in enumerate(headings):
        page.write_string(0, column, harmless(heading), strong)
    for number, row in enumerate(rows, start=1):
        for column, cell in enumerate(row):
            _write(page, number, column, cell)
            widths[column] = max(widths[column], min(WIDEST, len(str(cell or ""))))
    for column, width in enumerate(widths):
        page.set_column(column, column, width + 2)
    page.freeze_panes(1, 0)


def _write(page: "Worksheet", row: int, column: int, cell: Cell) -> None:
    if isinstance(cell, str):
        page.write_string(row, column, harmless(cell))
    elif cell is not None and _finite(cell):
        page.write_number(row, column, cell)


def _finite(number: int | float) -> bool:
    return abs(number) < float("inf")
