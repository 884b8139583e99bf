"""Where the heading stands among the first rows, until the room that reads headings offers it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

DATUM = re.compile(r"^\s*[<>+-]?\d[\d.,:/\s+TZ°CFcf-]*$")


@dataclass(frozen=True)
class Header:
    """Rows of the grid up to and with the heading, its names, and sentences about what was seen."""

    above: int
    names: tuple[str, ...]
    notes: tuple[str, ...]


def find_header(grid: Sequence[Sequence[str]]) -> Header:
    """The heading: the last row of nothing but words before the first row with a number or a date in it."""
    wide = max((sum(map(bool, row)) for row in grid), default=0)
    first = next((i for i, row in enumerate(grid) if _is_data(row, wide)), None)
    if first is None:
        first = min((i for i, row in enumerate(grid) if any(row)), default=-1) + 1
        return Header(first, tuple(grid[first - 1]) if first else (), ())
    heads = [i for i in range(first) if any(grid[i]) and sum(map(bool, grid[i])) > wide / 3]
    if not heads:
        return Header(0, (), ("There is no heading row; the columns are numbered.",))
    last = heads[-1]
    notes: tuple[str, ...] = ()
    names = tuple(grid[last])
    if last and last - 1 in heads:
        names = _joined(grid[last - 1], names)
        notes = ("Two heading rows were joined.",)
    titles = sum(any(row) for row in grid[:last]) - len(notes)
    return Header(
        last + 1,
        names,
        (*notes, *((f"Title rows above the heading, skipped: {titles}.",) if titles else ())),
    )


def _is_data(row: Sequence[str], wide: int) -> bool:
    return sum(map(bool, row)) > wide / 3 and any(DATUM.match(c) for c in row)


def _joined(upper: Sequence[str], lower: Sequence[str]) -> tuple[str, ...]:
    over = [*upper, *[""] * (len(lower) - len(upper))]
    return tuple(f"{a} {b}".strip() for a, b in zip(over, lower, strict=False))
