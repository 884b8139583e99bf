"""Charted times of a block as instants: formats in SQL for the many, the intake's reader for the odd few.

A chart's clock is the ward's wall clock. With a zone it becomes an instant through the zone's own stretches;
where the text carries an offset that decides; without either, the wall clock stands for the instant and
the receipt says so.
"""

import re
from datetime import datetime
from typing import Any

from browline.intake import (
    OFFSET,
    format_repair,
    join_time,
    read_time,
    split_offset,
    time_formats,
    zone_stretches,
)
from browline.store.importing.cells import Cells
from browline.store.importing.dictionaries import make_table

APART = "\x1f"
SHORT_YEAR = "two-digit-year"


def time_text(cells: Cells, role: str, alias: str = "") -> str:
    """SQL for the text of a time: one column, or a date and a clock column kept apart by `APART`."""
    date, clock = ("date", "clock") if role == "time" else (f"{role}_date", f"{role}_clock")
    if not cells.has(role) and cells.has(date):
        return f"concat_ws(chr({ord(APART)}), {cells.text(date, alias)}, {cells.text(clock, alias)})"
    return cells.text(role, alias)


def read_times(con: Any, cells: Cells, role: str, order: str, *, excel_1904: bool, table: str) -> None:
    """Make temp table `table(row, naive, shift, repair, reason)`: wall clock, own offset in minutes, codes.

    Texts that the common formats do not read are asked of the intake one distinct text at a time.
    """
    text = f"replace({time_text(cells, role)}, chr({ord(APART)}), ' ')"
    short, full = _formats(con, text, order)
    bare, shift = _without_offset(con, text)
    con.execute(
        f"""CREATE OR REPLACE TEMP TABLE parsed AS
        SELECT row, {time_text(cells, role)} AS text, {_parsed(bare, short)} AS short, {_parsed(bare, full)} AS whole,
               {shift} AS shift FROM raw"""
    )
    _odd_times(con, order, excel_1904)
    con.execute(
        f"""CREATE OR REPLACE TEMP TABLE {table} AS
        SELECT p.row, coalesce(p.short, p.whole, o.naive) AS naive, coalesce(p.shift, o.shift) AS shift,
               CASE WHEN p.short IS NOT NULL THEN '{SHORT_YEAR}' ELSE o.repair END AS repair,
               CASE WHEN p.text IS NULL THEN 'no-time' ELSE o.reason END AS reason
        FROM parsed p LEFT JOIN odd o ON p.short IS NULL AND p.whole IS NULL AND p.text = o.text"""
    )
    con.execute("DROP TABLE parsed; DROP TABLE odd")


def _formats(con: Any, text: str, order: str) -> tuple[list[str], list[str]]:
    """Formats with a two-digit and with a four-digit year that a sample of the texts asks for."""
    sample = con.execute(f"SELECT DISTINCT {text} FROM raw WHERE {text} IS NOT NULL LIMIT 20000").fetchall()
    bare = {split_offset(t)[0] for (t,) in sample}
    formats = time_formats(sorted({re.sub(r"\d", "9", t) for t in bare}), order)
    with_clock = [f for f in formats if "%H" in f or "%I" in f]
    short = [f for f in with_clock if format_repair(f) == SHORT_YEAR]
    return short, [f for f in with_clock if f not in short]


def _parsed(text: str, formats: list[str]) -> str:
    return f"try_strptime({text}, {formats!r})" if formats else "NULL::TIMESTAMP"


def _without_offset(con: Any, text: str) -> tuple[str, str]:
    """SQL for the text without its offset from UTC, and for that offset in minutes."""
    found = f"regexp_extract({text}, '{OFFSET}', 2)"
    offsets = [o for (o,) in con.execute(f"SELECT DISTINCT {found} FROM raw").fetchall() if o]
    if not offsets:
        return text, "NULL::SMALLINT"
    branches = " ".join(f"WHEN '{o}' THEN {split_offset('2026-01-01T00:00:00' + o)[1]}" for o in offsets)
    bare = f"CASE WHEN {found} = '' THEN {text} ELSE trim(regexp_extract({text}, '{OFFSET}', 1)) END"
    return bare, f"(CASE {found} {branches} END)::SMALLINT"


def _odd_times(con: Any, order: str, excel_1904: bool) -> None:
    unread = "SELECT DISTINCT text FROM parsed WHERE short IS NULL AND whole IS NULL AND text IS NOT NULL"
    texts = [t for (t,) in con.execute(unread).fetchall()]
    whole = [join_time(*t.split(APART, 1)) if APART in t else t for t in texts]
    reads = [read_time(t, order, excel_1904=excel_1904) for t in whole]
    make_table(
        con,
        "odd",
        {
            "text": ("VARCHAR", texts),
            "naive": ("TIMESTAMP", [_iso(r.when) for r in reads]),
            "shift": ("SMALLINT", [r.offset if r.offset is not None else 0 for r in reads]),
            "shifted": ("SMALLINT", [int(r.offset is not None) for r in reads]),
            "repair": ("VARCHAR", [r.repair for r in reads]),
            "reason": ("VARCHAR", [r.reason for r in reads]),
        },
    )
    con.execute("UPDATE odd SET shift = NULL WHERE shifted = 0")


def _iso(moment: datetime | None) -> str | None:
    return moment.isoformat(sep=" ") if moment else None


def place_in_zone(con: Any, table: str, zone: str | None, placed: str) -> None:
    """Make `placed(row, instant, shift, repair, reason)` from wall clocks: UTC instant and local offset."""
    first, last = con.execute(f"SELECT min(naive), max(naive) FROM {table}").fetchone()
    local = _stretch_sql(zone, first, last, "shift") if zone and first else "0"
    mark = _stretch_sql(zone, first, last, "mark") if zone and first else "NULL"
    own = f"(epoch(timezone('{zone}', (naive - to_minutes(t.shift))::TIMESTAMPTZ)) - epoch(naive)) // 60 + t.shift"
    kept = own if zone else "t.shift"
    con.execute(
        f"""CREATE OR REPLACE TEMP TABLE {placed} AS
        SELECT row, naive - to_minutes(coalesce(t.shift, {local})) AS instant,
               (CASE WHEN t.shift IS NOT NULL THEN {kept} ELSE {local} END)::SMALLINT AS shift,
               concat_ws(',', repair, CASE WHEN t.shift IS NULL THEN {mark} END) AS repair, reason
        FROM {table} t"""
    )


def _stretch_sql(zone: str | None, first: datetime, last: datetime, what: str) -> str:
    branches = []
    for s in zone_stretches(zone or "UTC", first, last):
        answer = str(s.minutes) if what == "shift" else (f"'{s.repair}'" if s.repair else "NULL")
        branches.append(f"WHEN naive < TIMESTAMP '{s.until}' THEN {answer}")
    return f"(CASE {' '.join(branches)} END)" if branches else "NULL"
