"""Parquet files in a book: written under a temporary name, made durable, then renamed; unfinished ones swept.

The file is durable before the transaction that names it, and readers take names from the records only, so a
kill at any moment leaves at most a finished file that no import names: a stray. It may be all that is left of
readings whose records were lost or put back from an older copy, so it is counted and never deleted.
"""

import os
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from filelock import FileLock

from browline.store.folder import Book
from browline.store.lost import PARQUET
from browline.store.models import Import

PART = ".part"


@contextmanager
def import_lock(book: Book) -> Iterator[None]:
    """Hold the book's import lock; one import at a time, and what a killed one left unfinished is swept first."""
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
    """Delete what a killed import left unfinished. Only under the import lock."""
    for path in book.readings.glob(f"*{PART}"):
        path.unlink()


def strays(book: Book) -> tuple[str, ...]:
    """Finished files in `readings/` that no import names, in order of their names."""
    named: set[str] = set()
    for pair in Import.objects.values_list("readings_file", "set_aside_file"):
        named.update(pair)
    return tuple(sorted(path.name for path in book.readings.glob(PARQUET) if path.name not in named))


def let_go(book: Book, names: Iterable[str]) -> None:
    """Delete files that this import wrote and is not going to name. Only under the import lock."""
    for name in filter(None, names):
        (book.readings / name).unlink(missing_ok=True)


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
