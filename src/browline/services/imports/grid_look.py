"""What a roster says, for the page where it is looked at before it is taken."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from browline.services.imports.grid_reader import roster_entries
from browline.services.imports.reader import Request
from browline.store.importing.roster.rows import open_roster
from browline.store.importing.roster.same_names import TWO


@dataclass(frozen=True)
class SameName:
    """A name that stands in lines apart, without an identifier: `key` for the answer, `posts` in words."""

    key: str
    name: str
    posts: tuple[str, ...]


@dataclass(frozen=True)
class RosterLook:
    """What a roster says before it is taken: days, wards, people, and how often each code stands in it."""

    layout: str
    first: date | None
    last: date | None
    wards: tuple[str, ...]
    people: int
    new_people: int
    settled: tuple[tuple[str, int], ...]
    unsettled: tuple[tuple[str, int], ...]
    aside: Mapping[str, int]
    same_names: tuple[SameName, ...] = ()


def look_over_roster(request: Request) -> RosterLook:
    """What would come of taking this file whole; nothing is written."""
    _, layout, reading, people, same = roster_entries(request, open_roster(request.path), TWO)
    days = [day for _, day in reading.turns]
    known = Counter(t.code for _, _, turns in reading.rows for t in turns)
    return RosterLook(
        layout=layout,
        first=min(days, default=None),
        last=max(days, default=None),
        wards=tuple(sorted(reading.wards - {""})),
        people=len({person for person, _ in reading.turns}),
        new_people=len(people.new),
        settled=tuple(known.most_common()),
        unsettled=tuple(sorted(reading.unknown.items(), key=lambda item: -item[1])),
        aside={code: len(rows) for code, rows in reading.aside.items()},
        same_names=tuple(
            SameName(name, posts[0].name, tuple(p.place for p in posts)) for name, posts in same.items()
        ),
    )
