"""The readings behind an answer about a ward, by the row numbers of the files they came in."""

from datetime import date

from browline.audit import NOT_SAID
from browline.audit.thresholds import DELAY_HOURS, UNSUITED_YOUNG, YOUNG_YEARS
from browline.quantities.sites import UNKNOWN
from browline.services.review.audit_part import SAME
from browline.services.review.wards.answers import Answer
from browline.store.counts import NOT_TEMPERATURES, SLIP, WORDS, view_set_aside
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import Import
from browline.store.readings import view_readings

ROWS_OF = {
    "value-spike": f"abs(charted - ?) < {SAME} AND coalesce(unit = 'F', false) = ?",
    "site-missing": f"coalesce(site, '{UNKNOWN}') = '{UNKNOWN}'",
    "site-unsuited": f"age < {YOUNG_YEARS} AND site IN {UNSUITED_YOUNG}",
    "on-the-hour": "date_part('minute', time + to_minutes(shift)) = 0",
    "entry-delay": f"entered - time > INTERVAL {round(60 * DELAY_HOURS)} MINUTE",
    "instrument-unit": f"coalesce({SLIP}, false)",
    "words": f"reason IN {WORDS}",
    "implausible": f"reason IN {NOT_TEMPERATURES}",
}
SET_ASIDE = ("words", "implausible")


def rows_behind(
    book: Book, ward: str, answer: Answer, *, since: date | None = None
) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Per import its label and the file's row numbers: the rows counted, or, where a test compares readings
    with each other, every reading of the ward. `since`: the first day listed, None for all."""
    con = working_memory()
    view_readings(con, book)
    view_set_aside(con, book)
    view = "aside" if answer.test in SET_ASIDE else "readings"
    only = ROWS_OF.get(answer.test, "true")
    late = f" AND time >= TIMESTAMP '{since:%Y-%m-%d}'" if since else ""
    query = f"""SELECT source, list(row ORDER BY row) FROM {view} WHERE coalesce(ward, '{NOT_SAID}') = ?
        AND {only}{late} GROUP BY source ORDER BY source"""
    rows = con.execute(query, [ward, *_values(answer)]).fetchall()
    labels = dict(Import.objects.values_list("pk", "label"))
    return tuple((labels[source], tuple(rows)) for source, rows in rows)


def _values(answer: Answer) -> list[float | bool]:
    if answer.test != "value-spike":
        return []
    number, unit = answer.at.split(" °")
    return [float(number), unit == "F"]
