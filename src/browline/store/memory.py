"""A working database in memory: DuckDB without a file of its own and without leave to spill to disk.

Identifiers pass through it on their way to becoming pseudonyms, so nothing of it may touch a disk.
"""

from typing import Any


def working_memory() -> Any:
    """A fresh DuckDB connection that writes nothing unless told to; times are UTC, order is kept."""
    import duckdb

    con = duckdb.connect(":memory:")
    for setting in ("temp_directory = ''", "TimeZone = 'UTC'", "enable_progress_bar = false"):
        con.execute(f"SET {setting}")
    return con
