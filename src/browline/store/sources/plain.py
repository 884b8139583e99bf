"""The quick way: a block of well-formed UTF-8 text, cut at the end of a record, read by DuckDB itself.

A block goes this way only when its bytes show that DuckDB and a spreadsheet must agree on it: every
quotation mark where RFC 4180 has it, one sort of line end, no blank line, every row as wide as the others.
Whatever fails goes the careful way. The block reaches DuckDB as an in-memory file where the system has such
(Linux); elsewhere a file that is one block is read by its path, and others go the careful way.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from .columns import drop, quoted, show
from .layout import Layout
from .records import Dialect

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

LF, CR = 10, 13
IN_MEMORY = hasattr(os, "memfd_create")


@dataclass(frozen=True)
class Piece:
    """Whole records as bytes, how many they are, and what is left over of the block."""

    text: memoryview
    records: int
    tail: bytes


def piece(block: bytes, how: Dialect, last: bool) -> Piece | None:
    """The whole records of a block, or None where its bytes do not show that it is well formed."""
    if how.escape or not how.delimiter.isascii() or b"\0" in block or not _line_ends_alike(block):
        return None
    quote = how.quote.encode()
    if last and block.count(quote) % 2:
        return None
    count, end = _closed_records(block, how) if quote in block else (block.count(b"\n"), block.rfind(b"\n"))
    if last and count >= 0:
        return Piece(memoryview(block), count + (not block.endswith(b"\n")), b"")
    return Piece(memoryview(block)[: end + 1], count, block[end + 1 :]) if count > 0 else None


def _line_ends_alike(block: bytes) -> bool:
    """Whether every line ends in LF, or every one in CR LF."""
    if b"\r" not in block:
        return True
    return block.count(b"\r") == block.count(b"\n") == block.count(b"\r\n")


def _closed_records(block: bytes, how: Dialect) -> tuple[int, int]:
    """How many line feeds end a record and where the last lies; -1 where a quotation mark is out of place.

    Marks open and close by turns. One that opens follows the start of a cell, or closes a doubled mark; one
    that closes stands before the end of a cell, or opens a doubled mark.
    """
    letters = np.frombuffer(block, np.uint8)
    marks = np.flatnonzero(letters == ord(how.quote))
    opening, closing = marks[::2], marks[1::2]
    edge = np.zeros(256, bool)
    edge[[LF, CR, ord(how.delimiter)]] = True
    starts = edge[letters[opening - 1]] | (opening == 0)
    starts[1:] |= opening[1:] == closing[: len(opening) - 1] + 1
    ends = edge[letters[(closing + 1) % len(letters)]] | (closing == len(letters) - 1)
    ends[: len(opening) - 1] |= closing[: len(opening) - 1] + 1 == opening[1:]
    if not (starts.all() and ends.all()):
        return -1, -1
    feeds = np.flatnonzero(letters == LF)
    feeds = feeds[np.searchsorted(marks, feeds) % 2 == 0]
    return len(feeds), int(feeds[-1]) if len(feeds) else -1


def read(
    con: "DuckDBPyConnection", name: str, part: Piece, layout: Layout, first: int, direct: Path | None
) -> int | None:
    """The piece as block `name`, numbered from `first`; None where DuckDB sees other records than we do.

    `direct`: the file, where the piece is all that follows its heading.
    """
    import duckdb

    drop(con, name)
    how, columns = layout.how, ", ".join(f"'c{i}': 'VARCHAR'" for i in range(layout.expected))
    with _reachable(part.text, layout.above, direct) as place:
        if place is None:
            return None
        try:
            con.execute(
                f"CREATE TEMP TABLE {quoted(name + '_cells')} AS SELECT * FROM read_csv(?, skip=?, delim=?, "
                "quote=?, escape=?, auto_detect=false, header=false, comment='', nullstr='', "
                f"columns={{{columns}}})",
                [*place, how.delimiter, how.quote, how.quote],
            )
        except duckdb.Error:
            # Its message quotes the line, which may hold a name: it goes no further than here.
            return None
    count = con.execute(f"SELECT count(*) FROM {quoted(name + '_cells')}").fetchall()[0][0]
    if count != part.records:
        return None
    return show(con, name, f"rowid + {first}", layout.width, layout.expected, "NULL::VARCHAR")


@contextmanager
def _reachable(text: memoryview, above: int, direct: Path | None) -> Iterator[tuple[str, int] | None]:
    """Where DuckDB finds the text without a copy on any disk, and the lines to skip there."""
    if not IN_MEMORY:
        yield (str(direct), above) if direct else None
        return
    handle = os.memfd_create("block")
    try:
        with os.fdopen(handle, "wb", closefd=False) as file:
            file.write(text)
        yield f"/proc/self/fd/{handle}", 0
    finally:
        os.close(handle)
