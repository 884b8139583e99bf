"""What an opened file is: where it came from, and its tables as text columns handed on block by block."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

Format = Literal["csv", "xlsx", "parquet", "fhir"]
Progress = Callable[[int, int], None]
Pass = Callable[["DuckDBPyConnection", str], Iterator[int]]

ODD: dict[str, str] = {
    "short": "fewer cells than the rows around it; the missing ones are empty",
    "long": "more cells than the rows around it; the surplus is joined to the last cell",
    "quote": "quotation marks that do not close; read without them",
}


@dataclass(frozen=True)
class Table:
    """One table of a file.

    - `headings`: as in the file, "column 1", "column 2" ... where it has none.
    - `label`: how to speak of it, e.g. "sheet 2"; never the sheet's own name, which can hold identifiers.
    - `notes`: sentences about what was seen and how it was read.
    - `read`: one pass over the table; call it through `blocks`.
    - `start`: a pass over its beginning only, where that is cheaper; call it through `beginning`.
    - `dates`: the year from which a workbook counts its days; None where that means nothing or is not known.
    """

    headings: tuple[str, ...]
    label: str
    notes: tuple[str, ...]
    read: Pass = field(repr=False)
    dates: Literal[1900, 1904] | None = None
    start: Pass | None = field(default=None, repr=False)

    def blocks(self, con: "DuckDBPyConnection", name: str = "raw") -> Iterator[int]:
        """For each block put a temporary view `name` in place and yield the number of its rows.

        Columns: `row` BIGINT, the row number as a spreadsheet shows the file; `c0`, `c1` ... VARCHAR, one
        for each heading, NULL for an empty cell; `odd` VARCHAR, NULL or a key of `ODD`. Rows with nothing in
        any cell are not handed on, but keep their numbers. The view is gone when the pass ends.
        """
        return self.read(con, name)

    def beginning(self, con: "DuckDBPyConnection", name: str = "raw") -> Iterator[int]:
        """As `blocks`, but the first block may hold only the first rows; enough to see what the columns hold."""
        return (self.start or self.read)(con, name)


@dataclass(frozen=True)
class Source:
    """An opened file: its path, the SHA-256 of its bytes in hex, what sort it is, and its tables."""

    path: Path
    digest: str
    format: Format
    tables: tuple[Table, ...]
