"""A file ready to be named in the book, whichever reader read it: its tables, what is left to write, what to note."""

from collections.abc import Callable
from dataclasses import dataclass, field

from browline.store.importing.readings import Prepared
from browline.store.models import Import


@dataclass(frozen=True)
class Part:
    """One table: what became of its rows, and how it was read.

    - `columns`: column of ours -> heading of the file. `filled`: columns that hold something in the rows taken.
    - `reading`: what else the import keeps of how it was read.
    - `write`: enters what lies in the records, inside the transaction that is the import.
    """

    prepared: Prepared
    columns: dict[str, str]
    filled: list[str]
    reading: dict[str, object]
    write: Callable[[Import], None]


@dataclass(frozen=True)
class Ready:
    """A file by its `digest` and `format`; `changes`: whether taking it changes the book or is the first time.

    `zone`: the clock its times were read by. `event`: what the event of the import keeps beside the imports.
    """

    digest: str
    format: str
    parts: tuple[Part, ...]
    notes: tuple[str, ...]
    zone: str
    changes: bool
    event: dict[str, object] = field(default_factory=dict)

    @property
    def files(self) -> list[str]:
        """Files of readings and of rows set aside that were written for it."""
        return [
            name
            for part in self.parts
            for name in (part.prepared.readings_file, part.prepared.set_aside_file)
        ]
