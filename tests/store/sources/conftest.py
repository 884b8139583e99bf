"""A connection as the import opens it, and a file read back as rows."""

from collections.abc import Callable, Iterator
from pathlib import Path

import duckdb
import pytest

from browline.store.sources import Source, Table, open_file

Rows = list[tuple[object, ...]]


@pytest.fixture
def con() -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect() as connection:
        connection.execute("SET temp_directory=''")
        yield connection


@pytest.fixture
def rows(con: duckdb.DuckDBPyConnection) -> Callable[[Table], Rows]:
    """Every row of a table: (number, cells ..., marker)."""

    def read(table: Table) -> Rows:
        found: Rows = []
        for count in table.blocks(con):
            block = con.execute("SELECT * FROM raw ORDER BY row").fetchall()
            assert count == len(block)
            found += block
        return found

    return read


@pytest.fixture
def written(tmp_path: Path) -> Callable[..., Source]:
    """A file with these bytes, opened."""

    def write(data: bytes, name: str = "export.csv") -> Source:
        path = tmp_path / name
        path.write_bytes(data)
        return open_file(path)

    return write
