"""Rows of Python text into a temporary view of DuckDB, and the view that every block ends as.

Object arrays go in without a data frame library (0.1 s for two million cells).
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

Row = tuple[int, Sequence[str | None], str | None]


def quoted(name: str) -> str:
    """A name as an SQL identifier."""
    return '"' + name.replace('"', '""') + '"'


def show(con: "DuckDBPyConnection", name: str, row: str, width: int, present: int, odd: str) -> int:
    """Put the view over the block's cells, `present` of `width` columns of which are there; count its rows.

    `row` and `odd` are SQL for the row number and the marker.
    """
    cells = [f"c{i}" if i < present else f"NULL::VARCHAR AS c{i}" for i in range(width)]
    filled = ", ".join(f"c{i}" for i in range(present))
    con.execute(
        f"CREATE OR REPLACE TEMP VIEW {quoted(name)} AS "
        f"SELECT {row} AS row, {', '.join(cells)}, {odd} AS odd "
        f"FROM {quoted(name + '_cells')} WHERE coalesce({filled}) IS NOT NULL"
    )
    return int(con.execute(f"SELECT count(*) FROM {quoted(name)}").fetchall()[0][0])


def hold(con: "DuckDBPyConnection", name: str, width: int, rows: Sequence[Row]) -> int:
    """Rows (number, `width` cells, marker) as the block `name`; the number of rows with something in them."""
    columns = {f"c{i}": np.array([cells[i] for _, cells, _ in rows], dtype=object) for i in range(width)}
    columns["row"] = np.array([number for number, _, _ in rows], dtype=np.int64)
    columns["odd"] = np.array([odd for _, _, odd in rows], dtype=object)
    typed = ", ".join(f"nullif(c{i}::VARCHAR, '') AS c{i}" for i in range(width))
    arrays = name + "_arrays"
    drop(con, name)
    con.register(arrays, columns)
    try:
        con.execute(
            f"CREATE TEMP TABLE {quoted(name + '_cells')} AS "
            f"SELECT row, {typed}, odd::VARCHAR AS odd FROM {quoted(arrays)}"
        )
    finally:
        con.unregister(arrays)
    return show(con, name, "row", width, width, "odd")


def drop(con: "DuckDBPyConnection", name: str) -> None:
    """Take the block away, so that two never lie in memory together."""
    con.execute(f"DROP VIEW IF EXISTS {quoted(name)}")
    con.execute(f"DROP TABLE IF EXISTS {quoted(name + '_cells')}")


@contextmanager
def gone_after(con: "DuckDBPyConnection", name: str) -> Iterator[None]:
    """Whatever happens within, no block stays behind."""
    try:
        yield
    finally:
        drop(con, name)
