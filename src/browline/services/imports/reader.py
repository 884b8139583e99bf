"""The steps by which every file comes in, and what each reader of files does at them.

    open -> read (outside, nothing written to the records) -> plan (against the book) -> commit -> receipt

`plan` runs inside the transaction that is the import, so that nothing changes between it and the commit.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Protocol

from browline.services.imports.mapping import NO_ANSWERS, FileAnswers, Given
from browline.store.folder import Book
from browline.store.importing.ready import Ready

Progress = Callable[[int, int, str], None]


def silent(done: int, total: int, message: str) -> None:
    """Progress that nobody watches."""


@dataclass(frozen=True)
class Request:
    """A file to come in, as it was asked for. `today`, on the hospital's clock, settles a year that is not written.

    `mapping` may be one for every table or one per label; `zone` and `kind` are None where not given.
    """

    book: Book
    path: Path
    today: date
    kind: str | None = None
    mapping: Given = None
    zone: str | None = None
    answers: FileAnswers = NO_ANSWERS
    progress: Progress = silent


class ReadFile(Protocol):
    """A file that was read: how it stands against the book is planned inside the import's transaction."""

    def plan(self) -> Ready:
        """What naming it in the book would do."""


class OpenFile(Protocol):
    """A file that is open."""

    def read(self) -> ReadFile:
        """Read it, under the import lock; only files of readings are written."""
