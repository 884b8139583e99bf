"""The readings behind a name, as a series to draw: weeks of an instrument or a ward, every reading of a stay."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

from browline.services.review.supplement_rows import WeekRow, supplement_in
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import last_whole_review
from browline.store.readings import view_readings

MOST = 5000


class Reading(TypedDict):
    """One reading of a stay."""

    time: str
    value_c: float
    site: str
    instrument: str | None


@dataclass(frozen=True)
class Series:
    """Points in time order. `compared` says whether they are differences from the comparator or plain means."""

    what: str
    name: str
    points: Sequence[WeekRow] | Sequence[Reading]
    compared: bool


def series(book: Book, what: str, name: str) -> Series:
    """The series of one instrument, ward or stay; no points where nothing by that name was charted.

    Weeks come from the last review (difference from the comparator with its interval). A stay is named by its
    pseudonym, as the pages show it.
    """
    if what == "stay":
        return Series(what, name, _stay(book, name), compared=False)

    last = last_whole_review()
    weeks = supplement_in(last)["weeks"].get(what, {}).get(name, []) if last else []
    return Series(what, name, weeks, compared=True)


def _stay(book: Book, name: str) -> list[Reading]:
    if not name.isdigit():
        return []
    con = working_memory()
    view_readings(con, book)
    found = con.execute(
        f"""SELECT strftime(time + to_minutes(shift), '%Y-%m-%dT%H:%M:%S'), value, site, instrument FROM readings
        WHERE coalesce(stay, patient) = ? ORDER BY time LIMIT {MOST}""",
        [int(name)],
    ).fetchall()
    return [{"time": t, "value_c": v, "site": s, "instrument": i} for t, v, s, i in found]
