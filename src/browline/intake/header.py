"""Where the table begins in a sheet: titles above, one or two heading rows or none, totals below.

Rows count from 1, as in the file (practice, Part C, trap 13).
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from browline.errors import InputRefused
from browline.intake.headings import is_heading
from browline.intake.profile import looks_like_data

_SEARCHED = 60  # rows from the top in which a heading is looked for
TOTALS = re.compile(
    r"(?i)^\s*(grand |sub)?\s*(total|totals|subtotal|mean|average|avg|sum|count|median|min|max|n ?=|"
    r"end of (report|file)|page \d|printed|exported|generated|source:|report run|rows?:? \d|\d+ rows?)"
)


@dataclass(frozen=True)
class Header:
    """The lay-out of a sheet: the `titles` rows above, the heading `rows` (none, one or two), the `first` and
    `last` rows of data (all counted from 1), and one distinct heading per column."""

    titles: int
    rows: tuple[int, ...]
    first: int
    last: int
    headings: tuple[str, ...]


def find_header(grid: Sequence[Sequence[str]]) -> Header:
    """The lay-out of a grid of cell texts; raises InputRefused where all cells are blank.

    The grid may be only the top of a long file; `last` is then the last row of that top.

    >>> find_header([["Ward temperatures"], ["Time", "Temp"], ["2026-03-07 10:00", "36.6"]])
    Header(titles=1, rows=(2,), first=3, last=3, headings=('Time', 'Temp'))
    """
    filled = [i for i, row in enumerate(grid) if any(c.strip() for c in row)]
    if not filled:
        raise InputRefused(
            "The file or sheet is empty.", "A table with at least one row is wanted.", "Check the export."
        )
    width = max(len(_trimmed(grid[i])) for i in filled)
    last = _last_data(grid, filled)
    head = _heading_row(grid, width)
    if head is None:
        first = next((i for i in filled if _count(grid[i]) >= min(2, width)), filled[0])
        return Header(
            titles=first,
            rows=(),
            first=first + 1,
            last=last + 1,
            headings=tuple(f"column {i + 1}" for i in range(width)),
        )
    rows = (head, head + 1) if _is_second(grid, head) else (head,)
    first = next((i for i in filled if i > rows[-1]), rows[-1] + 1)
    headings = _distinct(_joined([grid[i] for i in rows], width))
    return Header(
        titles=head,
        rows=tuple(i + 1 for i in rows),
        first=first + 1,
        last=max(last, rows[-1]) + 1,
        headings=headings,
    )


def is_totals_row(cells: Sequence[str]) -> bool:
    """Whether a row is a total or a footer: its first filled cell says so and few cells are filled.

    >>> is_totals_row(["Total", "", "1,204"]), is_totals_row(["2026-03-07 10:00", "36.6", "Oral"])
    (True, False)
    """
    first = next((c for c in cells if c.strip()), "")
    return bool(TOTALS.match(first)) and _count(cells) <= max(2, len(cells) - 1)


def _trimmed(row: Sequence[str]) -> list[str]:
    cells = list(row)
    while cells and not cells[-1].strip():
        cells.pop()
    return cells


def _count(row: Sequence[str]) -> int:
    return sum(bool(c.strip()) for c in row)


def _data_cells(row: Sequence[str]) -> int:
    return sum(looks_like_data(c) for c in row if c.strip())


def _heading_row(grid: Sequence[Sequence[str]], width: int) -> int | None:
    """The first wide row without data cells, best with a heading we know; None where data comes first."""
    wide = max(1, (width + 1) // 2) if width > 1 else 1
    for i, row in enumerate(grid[:_SEARCHED]):
        count, data = _count(row), _data_cells(row)
        known = sum(is_heading(c) for c in row if c.strip())
        if known >= 2 and data * 2 <= known:
            return i
        if count < wide or _is_title(row, width):
            continue
        if data:
            return None
        return i if known or _next_has_data(grid, i) else None
    return None


def _is_title(row: Sequence[str], width: int) -> bool:
    """A row with one filled cell, or few, of a wider table: a title, a date of export, a filter."""
    return width > 1 and _count(row) <= max(1, width // 3)


def _next_has_data(grid: Sequence[Sequence[str]], i: int) -> bool:
    below = [row for row in grid[i + 1 : i + 4] if _count(row)]
    return any(_data_cells(row) for row in below)


def _is_second(grid: Sequence[Sequence[str]], head: int) -> bool:
    """Whether the next row is a second heading row: known headings or units, no data, a gap above filled."""
    if head + 2 >= len(grid) or not _count(grid[head + 1]):
        return False
    upper, lower = grid[head], grid[head + 1]
    cells = [c for c in lower if c.strip()]
    known = sum(is_heading(c) or c.strip()[:1] in "(°" for c in cells)
    gaps = any(not (upper[i] if i < len(upper) else "").strip() for i, c in enumerate(lower) if c.strip())
    return (
        not _data_cells(lower)
        and 2 * known >= len(cells)
        and (gaps or all(c.strip()[:1] in "(°" for c in cells))
    )


def _joined(rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """One heading per column; a merged cell of the upper row speaks for the blank ones to its right."""
    if len(rows) == 1:
        return [" ".join(_cell(rows[0], i).split()) for i in range(width)]
    upper, merged = [], ""
    for i in range(width):
        merged = _cell(rows[0], i) or merged
        alone = not _cell(rows[1], i)
        upper.append(_cell(rows[0], i) if alone else merged)
    return [" ".join(f"{upper[i]} {_cell(rows[1], i)}".split()) for i in range(width)]


def _cell(row: Sequence[str], i: int) -> str:
    return row[i].strip() if i < len(row) else ""


def _distinct(headings: Sequence[str]) -> tuple[str, ...]:
    """Blank headings numbered, and a heading that comes twice told apart: "Time", "Time (2)"."""
    counts: dict[str, int] = {}
    out = []
    for i, heading in enumerate(headings):
        name = heading or f"column {i + 1}"
        counts[name] = counts.get(name, 0) + 1
        out.append(name if counts[name] == 1 else f"{name} ({counts[name]})")
    return tuple(out)


def _last_data(grid: Sequence[Sequence[str]], filled: Sequence[int]) -> int:
    """The last row that is neither blank nor a totals or footer row."""
    width = max(len(_trimmed(grid[i])) for i in filled)
    for i in reversed(filled):
        footer = is_totals_row(grid[i]) or (width > 2 and _count(grid[i]) == 1 and not _data_cells(grid[i]))
        if not footer:
            return i
    return filled[-1]
