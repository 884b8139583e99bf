"""What the charts say of the instruments: how much was charted with each lately, and past its lens' date."""

from collections.abc import Mapping
from datetime import UTC, datetime, tzinfo

from browline.instruments import Charted
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.readings import view_readings

RATE_DAYS = 56


def charted_lately(book: Book, zone: tzinfo | None = UTC) -> dict[str, Charted]:
    """Readings charted by instrument in the last `RATE_DAYS` days of the charts, over the days that each was charted.

    One pass over three columns of the readings; nothing where the charts do not say the instrument.
    """
    con = working_memory()
    view = view_readings(con, book)
    found = con.execute(
        f"""SELECT instrument, count(*), epoch(last - greatest(min(time), last - INTERVAL {RATE_DAYS} DAY)) / 86400,
        epoch(max(time)), coalesce(arg_max(ward, time), '')
        FROM {view}, (SELECT max(time) AS last FROM {view})
        WHERE instrument IS NOT NULL AND time > last - INTERVAL {RATE_DAYS} DAY GROUP BY instrument, last"""
    ).fetchall()
    return {
        name: Charted(n, days, datetime.fromtimestamp(last, zone), ward)
        for name, n, days, last, ward in found
        if days > 0
    }


def charts_end(book: Book, zone: tzinfo | None = UTC) -> datetime | None:
    """The time of the last reading in the charts that says its instrument; None where there is none."""
    con = working_memory()
    view = view_readings(con, book)
    (last,) = con.execute(f"SELECT epoch(max(time)) FROM {view} WHERE instrument IS NOT NULL").fetchone()
    return None if last is None else datetime.fromtimestamp(last, zone)


def charted_since(book: Book, since: Mapping[str, datetime]) -> dict[str, int]:
    """How many readings the charts hold with each instrument from its own moment on; those with none are left out."""
    if not since:
        return {}
    con = working_memory()
    view = view_readings(con, book)
    con.execute(
        "CREATE TEMP TABLE since AS SELECT unnest($1::VARCHAR[]) AS name, unnest($2::DOUBLE[]) AS start",
        [list(since), [moment.timestamp() for moment in since.values()]],
    )
    found = con.execute(
        f"""SELECT name, count(*) FROM {view} r JOIN since ON r.instrument = name
        WHERE epoch(r.time) >= start GROUP BY name"""
    ).fetchall()
    return dict(found)
