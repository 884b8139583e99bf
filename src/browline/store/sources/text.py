"""A text file as a table: its layout from the beginning, then pass after pass over its blocks."""

from collections.abc import Generator, Iterator
from dataclasses import replace
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from . import plain
from .columns import Row, gone_after, hold
from .dialect import NAMES, ROWS, dialect, usual_width
from .heading import heading, named
from .layout import Layout
from .letters import BLOCK, Letters, letters, survey, utf8_blocks
from .recognise import Bytes
from .records import Dialect, fitted, records
from .refused import refused
from .table import Table

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

SAMPLE = 1 << 20
PART = 4 << 20
FIRST = 2 << 20
DIRECT = 256 << 20
LONGEST_RECORD = 8 << 20


def open_text(given: Bytes) -> Table:
    """The one table of a text file."""
    unwatched = replace(given, progress=lambda done, total: None)
    encoded = letters(*survey(unwatched.open))
    layout = lay_out(next(utf8_blocks(unwatched.open, encoded, SAMPLE), b""))
    size = BLOCK if plain.IN_MEMORY else DIRECT
    as_it_is = encoded.encoding == "utf-8" and not given.packed and not plain.IN_MEMORY
    direct = given.path if as_it_is and given.path.stat().st_size <= size else None

    def read(con: "DuckDBPyConnection", name: str) -> Iterator[int]:
        with gone_after(con, name):
            yield from _pass(con, name, utf8_blocks(given.open, encoded, size), layout, direct)

    def start(con: "DuckDBPyConnection", name: str) -> Iterator[int]:
        with gone_after(con, name):
            yield from _pass(con, name, utf8_blocks(unwatched.open, encoded, FIRST), layout, None)

    return Table(layout.headings, "the file", (*_encoding(encoded), *layout.notes), read, start=start)


def lay_out(sample: bytes) -> Layout:
    """The layout of a text from its beginning (UTF-8)."""
    text = sample.decode("utf-8", "ignore")
    old_mac = "\r" in text and "\n" not in text
    text = text.replace("\r", "\n") if old_mac else text
    if not text.strip():
        raise refused("The file holds no text.", "Export the table again and check that it has rows.")
    how = dialect(text)
    rows = [record for record, _ in zip(records(text, how), range(ROWS), strict=False)]
    head = heading([list(r.cells) for r in rows])
    above = head.above
    whole = rows if len(rows) == ROWS or len(sample) < SAMPLE else rows[:-1]
    expected = usual_width([r for r in whole[max(above - 1, 0) :] if r.cells])[0]
    offset = len(text[: sum(r.length for r in rows[:above])].encode())
    width = max(expected, len(rows[above - 1].cells) if above else 0)
    headings = named(head.names[:width], width)
    return Layout(
        how=how,
        old_mac=old_mac,
        above=above,
        offset=offset,
        expected=expected,
        headings=headings,
        notes=(*_parting(how), *head.notes),
    )


def _encoding(given: Letters) -> tuple[str, ...]:
    if given.encoding == "cp1252":
        return ("The text is not UTF-8; it was read as Windows-1252 (Latin-1).",)
    return () if given.encoding == "utf-8" else (f"The text was read as {given.encoding.upper()}.",)


def _parting(how: Dialect) -> tuple[str, ...]:
    named = NAMES.get(how.delimiter, f"the character U+{ord(how.delimiter):04X}")
    return () if how.delimiter == "," else (f"Cells are parted by {named}.",)


def _pass(
    con: "DuckDBPyConnection", name: str, blocks: Iterator[bytes], layout: Layout, direct: Path | None
) -> Iterator[int]:
    """Every block of the text, the quick way where it can go.

    `direct`: the file itself, where DuckDB could read its bytes as they are and they come as one block.
    """
    tail, row, skip = b"", layout.above + 1, layout.offset
    for block in chain(blocks, (b"",)):
        last = direct is not None or not block
        text = tail + (block.replace(b"\r", b"\n") if layout.old_mac else block)
        del block
        if skip:
            text, skip = text[skip:], max(skip - len(text), 0)
        part = plain.piece(text, layout.how, last) if layout.expected > 1 and text else None
        if part and (count := plain.read(con, name, part, layout, row, direct)) is not None:
            row, tail = row + part.records, part.tail
            del text, part
            yield from (count,) * bool(count)
        else:
            row, tail = yield from _parts(con, name, text, layout, row, last)
        if len(tail) > LONGEST_RECORD:
            raise refused(
                "A single row of the file is longer than any table row can be.", "Export it again as CSV."
            )


def _parts(
    con: "DuckDBPyConnection", name: str, text: bytes, layout: Layout, row: int, last: bool
) -> Generator[int, None, tuple[int, bytes]]:
    """A block read record by record, some megabytes at a time; the next row number and what is left."""
    tail = b""
    for start in range(0, len(text), PART):
        final = last and start + PART >= len(text)
        rows, tail, row = _careful(tail + text[start : start + PART], layout, row, final)
        if rows and (count := hold(con, name, layout.width, rows)):
            yield count
    return row, tail


def _careful(text: bytes, layout: Layout, row: int, last: bool) -> tuple[list[Row], bytes, int]:
    """Rows of a block read record by record, what is left over, and the number of the next row."""
    end = len(text) if last else _whole_lines(text)
    decoded = text[:end].decode("utf-8", "replace")
    rows: list[Row] = []
    used = 0
    for record in records(decoded, layout.how, more=not last):
        used += record.length
        if any(record.cells):
            cells, odd = fitted(record.cells, layout.width, layout.expected, layout.how.delimiter)
            rows.append((row, cells, record.odd or odd))
        row += 1
    return rows, decoded[used:].encode() + text[end:], row


def _whole_lines(text: bytes) -> int:
    """How much of a block is whole lines; a carriage return at its very end may be half a line end."""
    return max(text.rfind(b"\n"), text.rfind(b"\r", 0, -1)) + 1
