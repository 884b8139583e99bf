"""The look-back list of a finding: which rows of which file were charted with the instrument since the date."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from browline.store.book import Book
from browline.store.counts import NOT_TEMPERATURES, SLIP

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


def look_back(book: Book, finding: Any) -> LookBack:
    """Row numbers of what is behind a finding about an instrument or a ward, since its date.

    A finding about charting lists only the rows it counts: in the wrong unit, without a site, impossible.
    """
    from browline.store.counts import view_set_aside
    from browline.store.memory import working_memory
    from browline.store.models import Import
    from browline.store.readings import view_readings

    column = COLUMN_OF.get(finding.subject_type)
    since = finding.data.get("since")
    day = date.fromisoformat(since) if since else None
    if column is None:
        return LookBack(day, 0, ())
    con = working_memory()
    view_readings(con, book)
    where = f"{column} = ?" + (f" AND time >= TIMESTAMP '{day:%Y-%m-%d}'" if day else "")
    view, only = ROWS_OF.get(finding.kind, ("readings", ""))
    if view == "aside":
        view_set_aside(con, book)
    query = f"SELECT source, list(row ORDER BY row) FROM {view} WHERE {where}{only} GROUP BY source ORDER BY source"
    found = con.execute(query, [finding.subject_id]).fetchall()
    labels = dict(Import.objects.values_list("pk", "label"))
    files = tuple((labels[source], tuple(rows)) for source, rows in found)
    return LookBack(day, sum(len(rows) for _, rows in files), files)
