"""The readings behind a name, as a series to draw: weeks of an instrument or a ward, every reading of a stay."""

from dataclasses import dataclass

from browline.documents.charts import StayReading
from browline.documents.supplement import WeekRow
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import Review, last_whole_review
from browline.store.readings import view_readings

MOST = 5000


@dataclass(frozen=True)
class WeekSeries:
    """Weeks of an instrument or a ward (`subject`) in time order: differences from the comparator."""

    subject: str
    name: str
    points: tuple[WeekRow, ...]


@dataclass(frozen=True)
class StaySeries:
    """Every reading of a stay in time order."""

    name: str
    points: tuple[StayReading, ...]


def series(book: Book, subject: str, name: str) -> WeekSeries | StaySeries:
    """The series of one instrument, ward or stay; no points where nothing by that name was charted.

    Weeks come from the last review (difference from the comparator with its interval). A stay is named by its
    pseudonym, as the pages show it.
    """
    if subject == "stay":
        return StaySeries(name, _stay(book, name))

    last = last_whole_review()
    return WeekSeries(subject, name, _weeks(last, subject, name) if last else ())


def _weeks(review: Review, subject: str, name: str) -> tuple[WeekRow, ...]:
    weeks = review.document.supplement.weeks
    return {"instrument": weeks.instrument, "ward": weeks.ward}.get(subject, {}).get(name, ())


def _stay(book: Book, name: str) -> tuple[StayReading, ...]:
    if not name.isdigit():
        return ()
    con = working_memory()
    view_readings(con, book)
    rows = con.execute(
        f"""SELECT strftime(time + to_minutes(shift), '%Y-%m-%dT%H:%M:%S'), value, site FROM readings
        WHERE coalesce(stay, patient) = ? ORDER BY time LIMIT {MOST}""",
        [int(name)],
    ).fetchall()
    return tuple(StayReading(time=t, value_c=v, site=s) for t, v, s in rows)
