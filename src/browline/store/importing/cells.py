"""Where each canonical column lies in a block of text columns, as SQL."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

NOTHING = "NULL::VARCHAR"


@dataclass(frozen=True)
class Cells:
    """The cells of one table: `headings[i]` heads column ``c<i>``; `columns` maps a role to its heading."""

    headings: tuple[str, ...]
    columns: Mapping[str, str]

    def has(self, role: str) -> bool:
        """Whether the role is mapped to a column of this table."""
        return self.columns.get(role) in self.headings

    def cell(self, role: str, alias: str = "") -> str:
        """SQL for the role's cell as it stands; NULL where it is empty or the role is not mapped."""
        if not self.has(role):
            return NOTHING
        prefix = f"{alias}." if alias else ""
        return f"{prefix}c{self.headings.index(self.columns[role])}"

    def text(self, role: str, alias: str = "") -> str:
        """SQL for the role's text, trimmed; NULL where the cell is blank or the role is not mapped."""
        return f"nullif(trim({self.cell(role, alias)}), '')" if self.has(role) else NOTHING


def listed(*words: str) -> str:
    """SQL for those of the words that are not NULL, parted by commas; NULL where none is.

    Few rows have any: the joining of texts is kept away from the others.
    """
    given = ", ".join(words)
    return f"CASE WHEN coalesce({given}) IS NOT NULL THEN concat_ws(',', {given}) END"


def headed(headings: Sequence[str], columns: Mapping[str, str]) -> Cells:
    """Cells of a table with these headings under this mapping."""
    return Cells(tuple(headings), dict(columns))
