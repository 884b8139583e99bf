"""What a column is, and a kind: one sort of file she brings, with everything that is particular to it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Type = Literal["time", "date", "number", "unit", "site", "identifier", "word", "closed"]
Reader = Literal["columns", "grid"]


@dataclass(frozen=True)
class Column:
    """One column: `name` as in the contract, `type` of its cells, whether it must be there, its meaning.

    - `choices`: the words of a closed list. `words`: what hospitals write for each, parted by commas.
    - `headings`: how hospitals head the column, parted by commas, the surest first; columns of one name share them.
    - `tick`: the choice that a tick, a cross or "yes" in the cell speaks of; "" where none does.
    """

    name: str
    type: Type
    required: bool
    meaning: str
    choices: tuple[str, ...] = ()
    headings: str = ""
    words: Mapping[str, str] = field(default_factory=dict)
    tick: str = ""


@dataclass(frozen=True)
class Signs:
    """By what a table of headings is known to be of a kind, its required columns being there.

    - `rank`: kinds are tried in this order, those that need most first: a check must not be taken for a reading.
    - `headings`: columns that a heading names, content alone being too little.
    - `any_column`: of these one is there at least. `words`: of these a heading says one at least.
    """

    rank: int
    headings: tuple[str, ...] = ()
    any_column: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True)
class ImportKind:
    """One kind of file: `id` as stored and as typed after --as, its `title` on the page, its columns.

    - `answers`: what such a file can answer, on receipts; readings say it column by column (`intake.answerable`).
    - `reader`: "columns" (each heading is mapped to a column of ours) or "grid" (staff down, days across).
    - `signs`: how it is recognised by its headings; a grid is known by its days.
    - `identity`: the columns that make a row of a register the same row again.
    - `reversible`: whether an import can be taken back as a whole.
    """

    id: str
    title: str
    columns: tuple[Column, ...]
    answers: str = ""
    reader: Reader = "columns"
    signs: Signs | None = None
    identity: tuple[str, ...] = ()
    reversible: bool = False
