"""The look-back list of a finding: which rows of which file were charted with the instrument since the date."""

from dataclasses import dataclass
from datetime import date

from browline.services.review.wards import Answer, rows_behind, ward
from browline.store.counts import NOT_TEMPERATURES, SLIP, view_set_aside
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import Finding, Import
from browline.store.readings import view_readings

COLUMN_OF = {"instrument": "instrument", "ward": "ward"}
ROWS_OF = {
    "instrument-unit": ("readings", f" AND coalesce({SLIP}, false)"),
    "site-missing": ("readings", " AND site = 'unknown'"),
    "implausible": ("aside", f" AND reason IN {NOT_TEMPERATURES}"),
}


@dataclass(frozen=True)
class LookBack:
    """Rows to look back at: per import its label and the file's row numbers, and how many in all."""

    since: date | None
    count: int
    files: tuple[tuple[str, tuple[int, ...]], ...]


def look_back(book: Book, finding: Finding) -> LookBack:
    """Row numbers of what is behind a finding about an instrument or a ward, since its date.

    A finding about charting lists only the rows it counts: in the wrong unit, without a site, impossible, at the
    value charted too often.
    """
    column = COLUMN_OF.get(finding.subject_type)
    since = finding.data.get("since")
    day = date.fromisoformat(since) if since else None
    if column is None:
        return LookBack(day, 0, ())
    heaped = _heaped(finding)
    if heaped is not None:
        return _look_back(day, rows_behind(book, finding.subject_id, heaped, since=day))
    con = working_memory()
    view_readings(con, book)
    where = f"{column} = ?" + (f" AND time >= TIMESTAMP '{day:%Y-%m-%d}'" if day else "")
    view, only = ROWS_OF.get(finding.kind, ("readings", ""))
    if view == "aside":
        view_set_aside(con, book)
    query = f"SELECT source, list(row ORDER BY row) FROM {view} WHERE {where}{only} GROUP BY source ORDER BY source"
    rows = con.execute(query, [finding.subject_id]).fetchall()
    labels = dict(Import.objects.values_list("pk", "label"))
    return _look_back(day, tuple((labels[source], tuple(rows)) for source, rows in rows))


def _heaped(finding: Finding) -> Answer | None:
    """The answer about the value that a ward charted too often, as its last review gave it."""
    if (finding.kind, finding.subject_type) != ("value-spike", "ward"):
        return None
    review_ward = ward(finding.last_review, finding.subject_id)
    return next((a for a in review_ward.seen if a.test == finding.kind), None) if review_ward else None


def _look_back(day: date | None, files: tuple[tuple[str, tuple[int, ...]], ...]) -> LookBack:
    return LookBack(day, sum(len(rows) for _, rows in files), files)
