"""Where the heading stands among the first rows, as the room that reads headings finds it, and what to say."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ...intake import Header, find_header

NO_HEADING = "There is no heading row; the columns are numbered."


@dataclass(frozen=True)
class Heading:
    """The rows `above` the data (titles and headings), one name per column, and sentences about what was seen."""

    above: int
    names: tuple[str, ...]
    notes: tuple[str, ...]


def heading(grid: Sequence[Sequence[str]]) -> Heading:
    """The heading of a grid of cells, the first rows of a table.

    >>> heading([["Ward temperatures"], ["Time", "Temp"], ["2026-03-07 10:00", "36.6"]]).above
    2
    """
    header = find_header(grid)
    return Heading(header.rows[-1] if header.rows else header.titles, header.headings, tuple(_notes(header)))


def _notes(header: Header) -> Iterator[str]:
    if header.titles:
        yield f"Title rows above the heading, skipped: {header.titles}."
    if len(header.rows) == 2:
        yield "Two heading rows were joined."
    if not header.rows:
        yield NO_HEADING


def named(names: Sequence[str], width: int) -> tuple[str, ...]:
    """The names made up to `width`: a column without a heading is known by its number.

    >>> named(["Time", ""], 3)
    ('Time', 'column 2', 'column 3')
    """
    return tuple(
        names[i] if i < len(names) and names[i].strip() else f"column {i + 1}"
        for i in range(max(width, len(names)))
    )
