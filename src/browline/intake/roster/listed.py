"""A roster as a list: a row for each person and day, under headings."""

from collections.abc import Sequence
from datetime import date

from browline.errors import InputRefused, Undecided
from browline.intake.dates import settle_dates
from browline.intake.header import is_totals_row
from browline.intake.roster.staff_heading import SEARCHED, Entry, RosterRead, Rows, staff_heading
from browline.intake.time_text import ORDERS
from browline.intake.times import read_time

# The days of a roster follow one another; read in the wrong order, they spread over months.
CLOSER = 3
Columns = dict[str, int]


def list_heading(rows: Rows) -> tuple[int, Columns] | None:
    """The heading row (from 0) and what its columns hold; None where no row heads person, date and shift."""
    for i, row in enumerate(rows[:SEARCHED]):
        columns: Columns = {}
        for j, cell in enumerate(row):
            content = staff_heading(cell) if len(cell) <= 40 else ""
            if content:
                columns.setdefault(content, j)
        whose = {"identifier", "name", "surname"} & set(columns)
        if whose and {"date", "shift"} <= set(columns):
            return i, columns
    return None


def read_list(rows: Rows, heading: tuple[int, Columns]) -> RosterRead:
    """The entries below the heading."""
    heading_row, columns = heading
    below = [(i + 1, row) for i, row in enumerate(rows) if i > heading_row]
    data_rows = [(n, row) for n, row in below if any(c.strip() for c in row) and not is_totals_row(row)]
    order = _order([_cell(row, columns, "date") for _, row in data_rows])
    repeated = [cell.strip() for cell in rows[heading_row]]
    entries = [_entry(n, row, columns, order) for n, row in data_rows if [c.strip() for c in row] != repeated]
    return RosterRead("list", tuple(entries))


def _entry(number: int, row: Sequence[str], columns: Columns, order: str) -> Entry:
    def cell(content: str) -> str:
        return _cell(row, columns, content)

    read = read_time(cell("date"), order)
    whole = " ".join(filter(None, (cell("given"), cell("surname"))))
    return Entry(
        row=number,
        identifier=cell("identifier"),
        name=cell("name") or whole,
        role=cell("role"),
        ward=cell("ward"),
        day=read.when.date() if read.when else None,
        cell=cell("shift"),
        start=cell("start"),
        end=cell("end"),
    )


def _cell(row: Sequence[str], columns: Columns, content: str) -> str:
    cells = list(row)
    column = columns.get(content)
    return "" if column is None or column >= len(cells) else " ".join(str(cells[column]).split())


def _order(texts: list[str]) -> str:
    """The order of day and month: settled by the dates, else the one that keeps the roster far closer together."""
    try:
        return settle_dates(texts)
    except Undecided as undecided:
        spans = sorted((span, order) for order in ORDERS if (span := _span(texts, order)) >= 0)
        if spans and (len(spans) == 1 or CLOSER * spans[0][0] <= spans[1][0]):
            return spans[0][1]
        raise InputRefused(
            undecided.came,
            "A roster read in the wrong order would move turns by months.",
            "Write the year first.",
        ) from None


def _span(texts: list[str], order: str) -> int:
    """Days from the first to the last date read in this order; -1 where one cannot be."""
    days: set[date] = set()
    for text in set(filter(None, texts)):
        read = read_time(text, order)
        if read.when is None:
            return -1
        days.add(read.when.date())
    return (max(days) - min(days)).days if days else -1
