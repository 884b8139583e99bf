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
from numpy.typing import NDArray

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

    text: bytes
    records: int
    rest: bytes


def piece(block: bytes, how: Dialect, last: bool) -> Piece | None:
    """The whole records of a block, or None where its bytes do not show that it is well formed."""
    if how.escape or not how.delimiter.isascii() or b"\0" in block or not _line_ends(block):
        return None
    ends = _record_ends(block, how)
    if ends is None:
        return None
    if last:
        return Piece(block, len(ends) + (not block.endswith(b"\n")), b"")
    if not len(ends):
        return None
    cut = int(ends[-1]) + 1
    return Piece(block[:cut], len(ends), block[cut:])


def _line_ends(block: bytes) -> bool:
    """Whether every line ends alike, in LF or in CR LF."""
    if b"\r" not in block:
        return True
    pairs = block.count(b"\r\n")
    return block.count(b"\r") == pairs == block.count(b"\n")


def _record_ends(block: bytes, how: Dialect) -> NDArray[np.intp] | None:
    """Where the line feeds lie that end a record; None where a quotation mark is out of place."""
    letters = np.frombuffer(block, np.uint8)
    quote = how.quote.encode()
    feeds = np.flatnonzero(letters == LF)
    if quote not in block:
        return feeds
    marks = np.flatnonzero(letters == ord(quote))
    opening, closing = marks[::2], marks[1::2]
    edge = np.isin(np.arange(256), [LF, CR, ord(how.delimiter)])
    before = edge[letters[np.maximum(opening - 1, 0)]] | (opening == 0)
    before[1:] |= opening[1:] == closing[: len(opening) - 1] + 1
    after = edge[letters[np.minimum(closing + 1, len(letters) - 1)]] | (closing == len(letters) - 1)
    after[: len(opening) - 1] |= closing[: len(opening) - 1] + 1 == opening[1:]
    if not (before.all() and after.all()):
        return None
    outside: NDArray[np.bool_] = np.searchsorted(marks, feeds) % 2 == 0
    return feeds[outside]


def read(
    con: "DuckDBPyConnection", name: str, part: Piece, layout: Layout, first: int, direct: Path | None
) -> int | None:
    """The piece as block `name`, numbered from `first`; None where DuckDB sees other records than we do.

    `direct`: the file, where the piece is all that follows its heading.
    """
    import duckdb

    drop(con, name)
    how, columns = layout.how, ", ".join(f"'c{i}': 'VARCHAR'" for i in range(layout.expected))
    with _at(part.text, layout.above, direct) as place:
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
    found = con.execute(f"SELECT count(*) FROM {quoted(name + '_cells')}").fetchall()[0][0]
    if found != part.records:
        return None
    return show(con, name, f"rowid + {first}", layout.width, layout.expected, "NULL::VARCHAR")


@contextmanager
def _at(text: bytes, above: int, direct: Path | None) -> Iterator[tuple[str, int] | None]:
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
