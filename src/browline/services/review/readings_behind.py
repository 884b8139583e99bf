"""The readings behind a finding of the joint model, newest first: when, what, where, and in which row of which file."""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date, datetime

from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import Cleaning, Finding, Import
from browline.store.readings import view_readings

COLUMN_OF = {"instrument": "instrument", "ward": "ward"}
PAGE = 50
# The moment as charted, in seconds since 1970, the value, site, ward, instrument, import and row.
BehindRow = tuple[datetime, float, float, str | None, str | None, str | None, int, int]
DAY_SECONDS = 86400.0


@dataclass(frozen=True)
class Behind:
    """One reading. `at` on the hospital's clock; `clean_days` since the instrument's lens was last cleaned, None
    where no cleaning before it is known; `file` and `row` name it in what was brought in. No patient is named."""

    at: datetime
    value_c: float
    site: str
    ward: str
    instrument: str
    clean_days: float | None
    file: str
    row: int


def opens_to_readings(finding: Finding) -> bool:
    """Whether a finding is about temperatures of an instrument or a ward, so that single readings tell of it."""
    return finding.subject_type in COLUMN_OF and finding.data.get("unit") == "C"


def readings_behind(book: Book, finding: Finding, page: int = 1) -> tuple[int, tuple[Behind, ...]]:
    """How many readings are behind a finding since its first day, and those of one page, newest first."""
    con = working_memory()
    view_readings(con, book)
    since = finding.data.get("since")
    where = f"{COLUMN_OF[finding.subject_type]} = ?"
    if since:
        where += f" AND time >= TIMESTAMP '{date.fromisoformat(since):%Y-%m-%d}'"
    named = [finding.subject_id]
    (count,) = con.execute(f"SELECT count(*) FROM readings WHERE {where}", named).fetchone() or (0,)
    rows = con.execute(
        f"""SELECT time + to_minutes(shift), epoch(time), value, site, ward, instrument, source, row FROM readings
        WHERE {where} ORDER BY time DESC, source, row LIMIT {PAGE} OFFSET {PAGE * (page - 1)}""",
        named,
    ).fetchall()
    labels = dict(Import.objects.values_list("pk", "label"))
    cleaned = _cleanings({row[5] for row in rows})
    return count, tuple(_behind(row, labels, cleaned) for row in rows)


def _behind(row: BehindRow, labels: dict[int, str], cleaned: dict[str, list[float]]) -> Behind:
    time, moment, value, site, ward, instrument, source, number = row
    times = cleaned.get(instrument or "", [])
    before = bisect_right(times, moment)
    days = (moment - times[before - 1]) / DAY_SECONDS if before else None
    return Behind(
        at=time,
        value_c=value,
        site=site or "",
        ward=ward or "",
        instrument=instrument or "",
        clean_days=days,
        file=labels[source],
        row=number,
    )


def _cleanings(names: set[str | None]) -> dict[str, list[float]]:
    """When each lens was cleaned, in seconds since 1970, in order."""
    times: dict[str, list[float]] = {}
    cleanings = Cleaning.objects.filter(instrument__name__in=[n for n in names if n]).exclude(part="case")
    for name, moment in cleanings.order_by("time").values_list("instrument__name", "time"):
        times.setdefault(name, []).append(moment.timestamp())
    return times
