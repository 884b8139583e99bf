"""Parquet files in a book: written under a temporary name, made durable, then renamed; leftovers swept.

The file is durable before the transaction that names it, and readers take names from the records only, so a
kill at any moment leaves at most an unnamed file, which the next import sweeps away.
"""

import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from filelock import FileLock

from browline.store.book import Book

PART = ".part"


@contextmanager
def import_lock(book: Book) -> Iterator[None]:
    """Hold the book's import lock; one import at a time, and leftovers of a killed one are swept first."""
    with FileLock(book.jobs / "import.lock"):
        sweep(book)
        yield


def write_parquet(con: Any, query: str, book: Book) -> str:
    """Write the rows of `query` as a new durable Parquet file; returns its name within `readings/`."""
    name = f"{uuid.uuid4().hex}.parquet"
    part = book.readings / (name + PART)
    con.execute(f"COPY ({query}) TO '{quoted(part)}' (FORMAT parquet, COMPRESSION zstd, COMPRESSION_LEVEL 1)")
    _make_durable(part)
    os.replace(part, book.readings / name)
    _make_durable(book.readings)
    return name


def sweep(book: Book) -> None:
    """Delete files in `readings/` that no import names. Only under the import lock."""
    from browline.store.models import Import

    named: set[str] = set()
    for pair in Import.objects.values_list("readings_file", "set_aside_file"):
        named.update(pair)
    for path in book.readings.iterdir():
        if path.is_file() and path.name not in named:
            path.unlink()


def quoted(path: Path) -> str:
    """A path as the inside of an SQL string."""
    return str(path).replace("'", "''")


def _make_durable(path: Path) -> None:
    flags = os.O_RDONLY | getattr(os, "O_DIRECTORY", 0) if path.is_dir() else os.O_RDWR
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, flags)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
