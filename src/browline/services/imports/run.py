"""Taking a file into the book: every kind by the same steps, each with its own reader; one transaction, one receipt."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from django.db import transaction

from browline.columns import IMPORT_KINDS, Reader
from browline.services.book.clock import local_day
from browline.services.imports.columns_reader import open_mapped
from browline.services.imports.grid_reader import is_roster, open_grid
from browline.services.imports.mapping import NO_ANSWERS, FileAnswers, Given
from browline.services.imports.reader import OpenFile, Progress, Request, silent
from browline.services.imports.receipts import Receipt, build_receipt
from browline.services.imports.strays import strays_note
from browline.store.folder import Book
from browline.store.importing.commit import commit
from browline.store.importing.files import import_lock, let_go, strays

READERS: dict[Reader, Callable[[Request], OpenFile]] = {"columns": open_mapped, "grid": open_grid}


def import_file(
    book: Book,
    path: Path,
    *,
    kind: str | None = None,
    mapping: Given = None,
    zone: str | None = None,
    answers: FileAnswers = NO_ANSWERS,
    today: date | None = None,
    actor: str = "educator",
    progress: Progress | None = None,
) -> Receipt:
    """Take a file into the book and return its receipt; all of it or nothing.

    `mapping` may be one for every table or one per label; what is not given is remembered from the last
    file with these headings, else proposed; the order of dates is never remembered. Raises `Undecided` where only a
    person can say, and takes her answer in `answers`. `today` is that of the hospital's clock where it is not given.
    """
    today = today or local_day(datetime.now(UTC))
    request = Request(
        book=book,
        path=path,
        today=today,
        kind=kind,
        mapping=mapping,
        zone=zone,
        answers=answers,
        progress=progress or silent,
    )
    reader = "columns" if kind is None and mapping is not None else choose_reader(kind, path, today)
    file = READERS[reader](request)
    with import_lock(book):
        unnamed = strays(book)
        entries = file.read()
        with transaction.atomic():
            ready = entries.plan()
            notes = [*ready.notes, *strays_note(unnamed)]
            imports = commit(ready, actor, notes) if ready.changes else []
        if not imports:
            let_go(book, ready.files)
    return build_receipt(path.name, ready.parts, imports, notes, unnamed)


def choose_reader(kind: str | None, path: Path, today: date) -> Reader:
    """The reader of a kind; of a file of which no kind was given, by its first rows."""
    if kind in IMPORT_KINDS:
        return IMPORT_KINDS[kind].reader
    return "grid" if kind is None and is_roster(path, today) else "columns"
