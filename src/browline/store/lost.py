"""A book whose records are lost: readings lie in its folder, and nothing says which of them count.

Refused at every door before anything is made or changed, so that a copy of the records can still be put back
beside the readings it names. Where no reading lies there, nothing can be lost: a book may begin.
"""

import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from browline import display
from browline.errors import InputRefused

RECORDS = "book.sqlite3"
PARQUET = "*.parquet"
OF_A_BOOK = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'store_import'"


def refuse_lost_records(folder: Path) -> None:
    """Refuse a folder with readings whose records are missing, empty, unreadable or without tables."""
    _refuse(folder, _fault(folder / RECORDS))


def refuse_vanished_records(folder: Path) -> None:
    """The same while the records are open: only what shows from outside, for opening a file could free its locks."""
    _refuse(folder, _fault_outside(folder / RECORDS))


def refuse_lost_readings(files: Iterable[Path]) -> None:
    """Refuse to count without files of readings that the records name; nothing is changed, so they can be put back."""
    gone = [path for path in files if not path.is_file()]
    if not gone:
        return
    single = len(gone) == 1
    raise InputRefused(
        f"{display.number(len(gone))} file{'' if single else 's'} of readings that its records name"
        f" {'is' if single else 'are'} missing"
        f" in {gone[0].parent} (first {gone[0].name}).",
        "Without them a review would count too few readings. Nothing was changed.",
        f"Put {'it' if single else 'them'} back from your latest copy of the folder. Without a copy, take the import"
        f"{'' if single else 's'} back on the Readings page and bring the export again.",
    )


def _refuse(folder: Path, fault: str) -> None:
    if fault and any((folder / "readings").glob(PARQUET)):
        raise InputRefused(
            f"The folder {folder} holds readings, but its records ({RECORDS}) {fault}.",
            "Without them nothing says which readings count. The book was not opened and nothing was changed.",
            f"{_advice(folder)} Without a copy, bring the exports again into a new folder (--book DIR).",
        )


def _advice(folder: Path) -> str:
    """Where a copy may lie; a log that belongs to other records would spoil the copy it lies beside."""
    copies = sorted(folder.glob("book-before-*.sqlite3"), key=lambda path: path.stat().st_mtime)
    copy = f" ({copies[-1].name} in this folder is one, made before an update)" if copies else ""
    logs = [f"{RECORDS}{end}" for end in ("-wal", "-shm") if (folder / f"{RECORDS}{end}").exists()]
    first = f"Move {' and '.join(logs)} to another folder first. " if logs else ""
    return f"{first}Put your latest copy of {RECORDS} back into this folder{copy}."


def _fault_outside(records: Path) -> str:
    if not records.exists():
        return "are missing"
    return "" if records.stat().st_size else "are empty"


def _fault(records: Path) -> str:
    if fault := _fault_outside(records):
        return fault
    try:
        return "" if _has_tables(records) else "hold none of the tables of a book"
    except sqlite3.OperationalError:
        return ""  # in use, or not ours to read: opening it says which
    except sqlite3.DatabaseError:
        return "cannot be read"


def _has_tables(records: Path) -> bool:
    log = records.with_name(f"{RECORDS}-wal")
    # Without a log nothing is written to the folder by looking; with one, the tables may stand in it alone.
    how = "mode=ro" if log.exists() and log.stat().st_size else "mode=ro&immutable=1"
    with closing(sqlite3.connect(f"{records.resolve().as_uri()}?{how}", uri=True)) as look:
        return bool(look.execute(OF_A_BOOK).fetchone()[0])
