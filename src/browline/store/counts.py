"""Counts over the readings of a book and over its set-aside rows, by ward, by instrument and by month."""

from datetime import date, datetime
from typing import Any

from browline.store.folder import Book
from browline.store.importing.files import quoted
from browline.store.models import Import
from browline.store.readings import EMPTY, between, view_readings

SLIP = "list_contains(string_split(repairs, ','), 'unit-put-right')"
WORDS = ("refused", "asleep", "off-ward", "not-done", "no-number", "words-beside-number")
NOT_TEMPERATURES = ("implausible", "unit-unknown", "zero", "placeholder", "reads-lo", "reads-hi", "reads-err")


class Counting:
    """One connection with views `readings` and `aside` of a book, between two instants."""

    def __init__(self, con: Any, book: Book, since: datetime | None, until: datetime | None) -> None:
        self.con, self.where = con, between(since, until)
        view_readings(con, book)
        view_set_aside(con, book)

    def aside(self) -> list[tuple[str, int, int]]:
        """(ward, words instead of a number, values that cannot be temperatures) set aside, wards by name."""
        return self._rows(
            f"""SELECT coalesce(ward, ''), count(*) FILTER (reason IN {WORDS}),
            count(*) FILTER (reason IN {NOT_TEMPERATURES})
            FROM aside WHERE true{self.where} GROUP BY 1 ORDER BY 1"""
        )

    def days(self) -> tuple[date | None, date | None]:
        """First and last day of the readings by the ward's own calendar."""
        day = "(time + to_minutes(shift))::DATE"
        return self._rows(f"SELECT min({day}), max({day}) FROM readings WHERE true{self.where}")[0]

    def months(self) -> list[tuple[date, int, int, int]]:
        """(first of month, readings, unit put right, set aside as no temperature), in order."""
        return self._rows(
            f"""SELECT date_trunc('month', time)::DATE AS month, count(*) FILTER (taken),
            count(*) FILTER (taken AND coalesce({SLIP}, false)),
            count(*) FILTER (NOT taken AND reason IN {NOT_TEMPERATURES})
            FROM (SELECT time, repairs, NULL AS reason, true AS taken FROM readings
                  UNION ALL SELECT time, NULL, reason, false FROM aside)
            WHERE time IS NOT NULL{self.where} GROUP BY 1 ORDER BY 1"""
        )

    def months_of_any(self, subjects: list[tuple[str, str, date | None]]) -> list[tuple[date, int]]:
        """(first of month, readings) that any subject (column, name, first day) took from its first day on.

        A reading that two subjects share is counted once, and one with its unit put right not at all.
        """
        if not subjects:
            return []
        tests = [f"({column} = ?{_from_day(first)})" for column, _, first in subjects]
        return self._rows(
            f"""SELECT date_trunc('month', time)::DATE, count(*) FROM readings
            WHERE NOT coalesce({SLIP}, false) AND ({" OR ".join(tests)}){self.where} GROUP BY 1 ORDER BY 1""",
            [name for _, name, _ in subjects],
        )

    def set_aside(self) -> list[tuple[str, int]]:
        """(reason, rows) of every import in force, most frequent first."""
        return self._rows("SELECT reason, count(*) FROM aside GROUP BY 1 ORDER BY 2 DESC, 1")

    def _rows(self, query: str, values: list[Any] | None = None) -> list[tuple[Any, ...]]:
        rows: list[tuple[Any, ...]] = self.con.execute(query, values or []).fetchall()
        return rows


def _from_day(first: date | None) -> str:
    return f" AND time >= TIMESTAMP '{first:%Y-%m-%d}'" if first else ""


def view_set_aside(con: Any, book: Book) -> None:
    """Make view `aside` of every set-aside row in force, with its import's number as `source`."""
    live = Import.objects.in_force().filter(kind="readings").exclude(set_aside_file="")
    picks = "row, reason, time, site, ward, instrument"
    parts = [
        f"SELECT {i.pk} AS source, {picks} FROM read_parquet('{quoted(book.readings / i.set_aside_file)}')"
        for i in live
    ]
    if not parts:
        blank = ", ".join(f"NULL::{EMPTY.get(name, 'VARCHAR')} AS {name}" for name in picks.split(", "))
        parts = [f"SELECT 0 AS source, {blank} WHERE false"]
    con.execute(f"CREATE TEMP VIEW aside AS {' UNION ALL '.join(parts)}")
