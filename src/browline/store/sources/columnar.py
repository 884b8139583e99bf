"""Parquet: every column as text, a million rows at a time, in the order of the file."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .columns import drop, gone_after, quoted, show
from .recognise import Bytes
from .refused import refused
from .table import Table

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

BLOCK = 1_000_000


def open_parquet(given: Bytes) -> Table:
    """The one table of a Parquet file; rows are numbered from 1, for it has no heading row."""
    import duckdb

    path = str(given.path)
    try:
        with duckdb.connect() as con:
            columns = con.execute("DESCRIBE SELECT * FROM read_parquet(?)", [path]).fetchall()
            counted = con.execute("SELECT num_rows FROM parquet_file_metadata(?)", [path]).fetchall()
    except duckdb.Error:
        raise refused("The Parquet file is damaged.", "Copy or export it again.") from None
    names, total = tuple(str(c[0]) for c in columns), int(counted[0][0])

    def read(con: "DuckDBPyConnection", name: str) -> Iterator[int]:
        with gone_after(con, name):
            for start in range(0, total, BLOCK):
                given.progress(min(start + BLOCK, total), total)
                if count := _block(con, name, path, names, start):
                    yield count

    return Table(names, "the file", (), read)


def _block(con: "DuckDBPyConnection", name: str, path: str, names: tuple[str, ...], start: int) -> int:
    import duckdb

    drop(con, name)
    cells = ", ".join(f"nullif({quoted(n)}::VARCHAR, '') AS c{i}" for i, n in enumerate(names))
    try:
        con.execute(
            f"CREATE TEMP TABLE {quoted(name + '_cells')} AS SELECT file_row_number + 1 AS row, {cells} "
            "FROM read_parquet(?, file_row_number=true) WHERE file_row_number >= ? AND file_row_number < ?",
            [path, start, start + BLOCK],
        )
    except duckdb.Error:
        raise refused("The Parquet file is damaged.", "Copy or export it again.") from None
    return show(con, name, "row", len(names), len(names), "NULL::VARCHAR")
