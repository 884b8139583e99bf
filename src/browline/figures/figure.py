"""What a chart function returns."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Table:
    """Headings and rows of text, ready to print; every row is as long as the headings."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Figure:
    """A drawing (`svg`), what it shows in one `sentence`, and the `table` behind it."""

    svg: str
    sentence: str
    table: Table
