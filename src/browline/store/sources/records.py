"""Text into records, one at a time, forgiving what real exports do.

Quoting is honoured where it closes properly; a quotation mark that never closes, or that closes and runs on
over several lines, is read as an ordinary character, so that a stray one cannot swallow the rows behind it.
"""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

LINES_IN_ONE_CELL = 500


@dataclass(frozen=True)
class Dialect:
    """How cells are parted and quoted; `escape` is a backslash where the file writes quotes as \\"."""

    delimiter: str
    quote: str = '"'
    escape: str | None = None

    def format(self) -> dict[str, Any]:
        """The same for Python's csv module."""
        return {
            "delimiter": self.delimiter,
            "quotechar": self.quote,
            "escapechar": self.escape,
            "doublequote": self.escape is None,
        }


class Record(NamedTuple):
    """One record: its cells, its marker (None or "quote"), and its characters with the line end."""

    cells: Sequence[str]
    odd: str | None
    length: int


def records(text: str, dialect: Dialect, more: bool = False) -> Iterator[Record]:
    """Every record of a text, blank lines too (they have no cells).

    `more`: the text is whole lines of a longer one; ends before a record that may go on behind it.
    """
    lines = io.StringIO(text, newline="").readlines()
    place = 0
    while place < len(lines):
        line = lines[place]
        if dialect.quote not in line and (dialect.escape is None or dialect.escape not in line):
            bare = line.rstrip("\r\n")
            yield Record(bare.split(dialect.delimiter) if bare else (), None, len(line))
            place += 1
        else:
            feed = _Counted(lines, place)
            cells = _closed(feed, dialect)
            if cells is None and more and feed.ran_out:
                return
            odd = None
            if cells is None:
                feed.taken = 1
                cells, odd = _stray(lines[place], dialect)
            taken = feed.taken
            yield Record(cells, odd, sum(map(len, lines[place : place + taken])))
            place += taken


def _closed(feed: "_Counted", dialect: Dialect) -> Sequence[str] | None:
    """The cells of a record whose quoting is as it should be, else None."""
    try:
        return next(csv.reader(feed, strict=True, **dialect.format()))
    except csv.Error:
        return None


def _stray(line: str, dialect: Dialect) -> tuple[Sequence[str], str | None]:
    """The cells of one line with a quotation mark out of place, and its marker.

    One inside a cell stands as it is; one that opens and never closes is an ordinary character.
    """
    line = line.rstrip("\r\n")
    try:
        cells = next(csv.reader([line + "\n"], **dialect.format()))
    except csv.Error:
        cells = ["\n"]
    return (line.split(dialect.delimiter), "quote") if cells[-1].endswith("\n") else (cells, None)


class _Counted:
    """Lines from one on, counted as they are taken; ends where a cell would grow beyond belief."""

    def __init__(self, lines: list[str], start: int) -> None:
        self.lines, self.start, self.taken, self.ran_out = lines, start, 0, False

    def __iter__(self) -> "_Counted":
        return self

    def __next__(self) -> str:
        if self.start + self.taken >= len(self.lines) or self.taken >= LINES_IN_ONE_CELL:
            self.ran_out = self.start + self.taken >= len(self.lines)
            raise StopIteration
        self.taken += 1
        return self.lines[self.start + self.taken - 1]


def fitted(
    cells: Sequence[str], width: int, expected: int, delimiter: str
) -> tuple[Sequence[str | None], str | None]:
    """Cells as a row of `width`, with its marker when it is shorter than `expected` or longer than `width`.

    >>> fitted(["a", "b", "", ""], 2, 2, ",")
    (['a', 'b'], None)
    >>> fitted(["a", "b", "c"], 2, 2, ",")
    (['a', 'b,c'], 'long')
    >>> fitted(["a"], 2, 2, ",")
    (['a', None], 'short')
    """
    if len(cells) == width:
        return cells, None
    if len(cells) < width:
        return [*cells, *[None] * (width - len(cells))], "short" if len(cells) < expected else None
    if not any(cells[width:]):
        return list(cells[:width]), None
    return [*cells[: width - 1], delimiter.join(cells[width - 1 :])], "long"
