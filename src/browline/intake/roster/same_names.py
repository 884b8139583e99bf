"""One name in several lines of a roster without identifiers: one person on a split post, or two people?

    apart(a, b)  <=>  wards differ, or roles differ, or both tell of one day

Lines that are apart are posts of their own, and only a person can say whose. Lines that tell the same in two
sheets are one line copied; the weeks of one person in blocks below one another are one line going on.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain
from typing import Any

from browline.intake.roster.names import names_nobody, plain_name
from browline.intake.roster.staff_heading import RosterRead

ROWS_LISTED = 3


@dataclass
class Post:
    """Lines of one name that one person can work: ward and role as written, and which entries they are, from 0."""

    name: str
    ward: str = ""
    role: str = ""
    sheet: int = 0
    cells: dict[date | None, str] = field(default_factory=dict)
    places: list[int] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)

    @property
    def label(self) -> str:
        """The ward and the role, as far as they are told."""
        return ", ".join(filter(None, (self.ward, self.role)))

    @property
    def place(self) -> str:
        """Where it is in the file, in words."""
        rows = list(dict.fromkeys(self.rows))
        more = ", ..." if len(rows) > ROWS_LISTED else ""
        numbers = f"row{'s' * (len(rows) > 1)} {', '.join(map(str, rows[:ROWS_LISTED]))}{more}"
        return f"{self.label} ({numbers})" if self.label else numbers


def same_names(sheets: Sequence[RosterRead]) -> dict[str, list[Post]]:
    """Names, made comparable, that stand in lines apart from one another, each with its posts in the file's order.

    >>> from browline.intake.roster.staff_heading import Entry
    >>> lines = (("Night A", "N"), ("Early B", "E"))
    >>> day = date(2026, 3, 2)
    >>> rows = [Entry(n, "", "Dunmore, Dev", "", w, day, c, line=n) for n, (w, c) in enumerate(lines, 5)]
    >>> [post.place for post in same_names([RosterRead("grid", tuple(rows))])["dev dunmore"]]
    ['Night A (row 5)', 'Early B (row 6)']
    """
    posts_by_name: dict[str, list[Post]] = {}
    for line in _lines(sheets):
        posts = posts_by_name.setdefault(plain_name(line.name), [])
        post = next((post for post in posts if not _apart(post, line)), None)
        if post is None:
            posts.append(line)
        else:
            _join(post, line)
    return {name: posts for name, posts in posts_by_name.items() if len(posts) > 1}


def _lines(sheets: Sequence[RosterRead]) -> list[Post]:
    """The lines without an identifier; in a list, the rows of one name, ward and role, one a day."""
    lines: dict[Any, Post] = {}
    repeats: Counter[Any] = Counter()
    entries = chain.from_iterable([(number, e) for e in sheet.entries] for number, sheet in enumerate(sheets))
    for place, (sheet, entry) in enumerate(entries):
        if entry.identifier or names_nobody(entry.identifier, entry.name):
            continue
        key: Any = (sheet, entry.line, plain_name(entry.name))
        if not entry.line:
            key += (entry.ward, entry.role)
            repeats[key, entry.day] += 1
            key += (repeats[key, entry.day],)
        line = lines.setdefault(key, Post(entry.name, entry.ward, entry.role, sheet))
        line.ward, line.role = line.ward or entry.ward, line.role or entry.role
        line.places.append(place)
        line.rows.append(entry.row)
        if entry.cell.strip() or entry.start:
            line.cells[entry.day] = entry.cell
    return list(lines.values())


def _apart(first: Post, second: Post) -> bool:
    if any(
        a and b and a.casefold() != b.casefold()
        for a, b in ((first.ward, second.ward), (first.role, second.role))
    ):
        return True
    copied = first.sheet != second.sheet and first.cells == second.cells
    return not copied and bool(first.cells.keys() & second.cells.keys())


def _join(post: Post, line: Post) -> None:
    post.ward, post.role = post.ward or line.ward, post.role or line.role
    post.cells |= line.cells
    post.places += line.places
    post.rows += line.rows
