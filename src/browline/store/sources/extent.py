"""How far a sheet reaches, from its XML, before the reader of cells makes room for every place of that rectangle.

One cell far out (an x in the last row and column) would ask for 17 thousand million places and end the process.
A quick look takes rows and columns of all cells; only where that is much are the filled ones counted, then placed.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import IO
from xml.parsers import expat

from .refused import refused

ROOM, SPARSE = 5_000_000, 10  # places a sheet may have in any case; places for each filled cell
PIECE = 4 << 20
# Fixed beginnings, which a search leaps to: a sheet may have ten million cells. With a namespace's prefix or without.
_PLACES = re.compile(rb' r="([A-Z]{1,9}[0-9]|[0-9]+)')
_CELLS, _ROWS = (b"<c ", b"<c>", b":c "), (b"<row ", b"<row>", b":row ")
_CONTENT = (b"<v>", b"<v ", b":v>", b"<is>", b":is>")
_FILLED = re.compile(rb'<(?:\w+:)?c\b[^>]*?\br="([A-Z]{1,9})([0-9]{1,9})"[^>]*(?<!/)>\s*<(?!/)')
_REPEATED = "number-columns-repeated", "number-rows-repeated"


@dataclass(frozen=True)
class Extent:
    """Rows and columns up to the last cell, how many are filled, and whether some do not say their place."""

    rows: int = 0
    columns: int = 0
    filled: int = 0
    unplaced: bool = False

    def too_far(self) -> bool:
        """Whether nearly all of the rectangle would be empty, and it is large."""
        return self.rows * self.columns > max(ROOM, SPARSE * self.filled)

    def with_piece(self, piece: bytes) -> "Extent":
        """The extent with one more piece of the sheet's XML, cut where a row begins."""
        places = _PLACES.findall(piece)
        marks = set(places)
        columns = max((column_number(m[:-1]) + 1 for m in marks if m > b"A"), default=0)
        rows = max((int(m) for m in marks if m < b"A"), default=self.rows + _count(piece, _ROWS))
        unplaced = _count(piece, _CELLS) + _count(piece, _ROWS) > len(places)
        if unplaced:
            columns = max(columns, max(_count(row, _CELLS) for row in piece.split(b"row")))
            rows = max(rows, self.rows + _count(piece, _ROWS))
        return Extent(
            max(self.rows, rows),
            max(self.columns, columns),
            self.filled,
            self.unplaced or unplaced,
        )


def _count(piece: bytes, beginnings: tuple[bytes, ...]) -> int:
    return sum(map(piece.count, beginnings))


def refuse_far_cells(number: int, quick: Extent, pieces: Callable[[], Iterable[bytes]]) -> None:
    """Refuse sheet `number` where a filled cell lies far from the others; styled empty cells do not count."""
    if not quick.too_far():
        return
    quick = replace(quick, filled=sum(_count(piece, _CONTENT) for piece in pieces()))
    if not quick.too_far():
        return
    last = (0, 0, b"")
    rows = columns = 0
    for piece in pieces():
        for letters, digits in _FILLED.findall(piece):
            row, column = int(digits), column_number(letters) + 1
            if row > rows or column > columns:
                last = (row, column, letters + digits)
            rows, columns = max(rows, row), max(columns, column)
    if quick.unplaced or Extent(rows, columns, quick.filled).too_far():
        raise _far(number, last[2].decode())


def refuse_far_cells_of_ods(stream: IO[bytes]) -> None:
    """The same for the one XML part of an ODS workbook, where empty places are counted, not written."""
    sheet = _Ods()
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler = sheet.begins, sheet.ends
    parser.StartDoctypeDeclHandler = _no_doctype
    for piece in _read(stream):
        parser.Parse(piece, False)
    parser.Parse(b"", True)


def column_number(letters: bytes) -> int:
    """Column number from 0: A is 0, AA is 26."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number - 1


class _Ods:
    """Where the parser is: the sheet, the row and column about to be filled, and the extent so far."""

    def __init__(self) -> None:
        self.number = self.row = self.column = self.again = 0
        self.extent = Extent()
        self.cell: int | None = None

    def begins(self, name: str, attributes: dict[str, str]) -> None:
        local = name.rpartition(":")[2]
        repeated = {key.rpartition(":")[2]: value for key, value in attributes.items()}
        if local == "table":
            self.number, self.row, self.extent = self.number + 1, 0, Extent()
        elif local == "table-row":
            self.column, self.again = 0, int(repeated.get(_REPEATED[1], "1"))
        elif local in ("table-cell", "covered-table-cell"):
            self.column += int(repeated.get(_REPEATED[0], "1"))
            if "value-type" in repeated:
                self._filled(int(repeated.get(_REPEATED[0], "1")))

    def ends(self, name: str) -> None:
        if name.rpartition(":")[2] == "table-row":
            self.row += self.again

    def _filled(self, places: int) -> None:
        extent, filled = self.extent, places * self.again
        self.extent = Extent(
            self.row + self.again, max(extent.columns, self.column), extent.filled + min(filled, ROOM)
        )
        if self.extent.too_far() or filled > ROOM:
            raise _far(self.number, "")


def _no_doctype(*_: object) -> None:
    raise refused("The workbook's XML has a document type.", "Save it again as XLSX, and give that.")


def _read(stream: IO[bytes]) -> Iterator[bytes]:
    while piece := stream.read(PIECE):
        yield piece


def _far(number: int, place: str) -> Exception:
    where = f" ({place})" if place else ""
    return refused(
        f"In sheet {number} a cell is filled far from the table{where}; nearly all between them is empty.",
        "Delete that cell in the spreadsheet program, save, and bring the file again; or export the table as CSV.",
    )
