"""Charted times of a block as instants: formats in SQL for the many, the intake's reader for the odd few.

A chart's clock is the ward's wall clock. With a zone it becomes an instant through the zone's own stretches;
where the text carries an offset that decides; without either, the wall clock stands for the instant and
the receipt says so.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from browline.intake import (
    EARLIEST,
    OFFSET,
    Stretch,
    format_repair,
    join_time,
    read_time,
    shape,
    split_offset,
    time_formats,
    zone_stretches,
)
from browline.store.importing.cells import NOTHING, Cells, listed
from browline.store.importing.dictionaries import make_table

APART = "\x1f"
SHORT_YEAR = "two-digit-year"
SAMPLE = 20_000


@dataclass(frozen=True)
class Clock:
    """SQL for one time column of `lines`, the table of its odd texts being joined under `odd`.

    `text` as charted; `short`, `whole`: wall clock by formats with a two- and a four-digit year; `shift`: the
    text's own offset in minutes. `placed(...)` turns them into an instant.
    """

    role: str
    text: str
    short: str
    whole: str
    shift: str

    @property
    def odd(self) -> str:
        """Name of the dictionary of texts that no format reads."""
        return f"odd_{self.role}"

    def parsed(self, source: str) -> str:
        """SQL for the rows of `source` with `short` and `whole`, each worked out once."""
        return f"(SELECT *, {self.short} AS short, {self.whole} AS whole FROM {source})"

    @property
    def unread(self) -> str:
        """SQL over `parsed` for the text where no format reads it, else NULL."""
        return f"CASE WHEN short IS NULL AND whole IS NULL THEN {self.text} END"


def time_text(cells: Cells, role: str, alias: str = "") -> str:
    """SQL for the text of a time: one column, or a date and a clock column kept apart by `APART`."""
    date, clock = ("date", "clock") if role == "time" else (f"{role}_date", f"{role}_clock")
    if not cells.has(role) and cells.has(date):
        both = f"concat_ws(chr({ord(APART)}), {cells.text(date, alias)}, {cells.text(clock, alias)})"
        return f"nullif({both}, '')"
    return cells.text(role, alias)


def read_clock(con: Any, cells: Cells, role: str, order: str, *, excel_1904: bool) -> Clock:
    """Choose the formats for a time column and read its odd texts; makes the table `Clock.odd`."""
    # Formats pass over blanks at the edges, so a column of times need not be trimmed.
    text = cells.cell(role) if cells.has(role) else time_text(cells, role)
    spaced = f"replace({text}, chr({ord(APART)}), ' ')" if "concat_ws" in text else text
    short, whole = _formats(con, spaced, order)
    clock = Clock(
        role=role,
        text=text,
        short=_parsed(spaced, short),
        whole=_parsed(spaced, whole),
        shift="NULL::SMALLINT",
    )
    odd, trimmed = _unread(con, clock, SAMPLE), f"trim({spaced})"
    if any(split_offset(t)[1] is not None for t in odd):
        clock = _with_offsets(con, clock, trimmed, short, whole)
        odd = _unread(con, clock)
    elif len(odd) == SAMPLE:
        # So many may only have an odd blank at an edge, which formats do not pass over.
        clock = replace(clock, short=_parsed(trimmed, short), whole=_parsed(trimmed, whole))
        odd = _unread(con, clock)
    _read_odd(con, clock, odd, order, excel_1904)
    return clock


def placed(con: Any, clock: Clock, zone: str | None, source: str) -> str:
    """SQL for the rows of `source` with `<role>_instant`, `_shift`, `_own`, `_repair` and `_reason` added.

    `_own`: whether the text says its own offset from UTC.
    """
    naive = "coalesce(short, whole, o.naive)"
    join = f"r LEFT JOIN {clock.odd} o ON o.text = ({clock.unread})"
    stretches: Sequence[Stretch] = ()
    if zone and clock.text != NOTHING:
        spread = f"SELECT min({naive}), max({naive}) FROM {clock.parsed('lines')} {join}"
        first, last = con.execute(spread).fetchone()
        stretches = zone_stretches(zone, first, last) if first else ()
    local = _case(stretches, lambda s: str(s.offset), "0")
    mark = _case(stretches, lambda s: f"'{s.mark}'", "'plain'")
    offset = "shift" if not zone else _zone_offset(zone)
    p = clock.role
    return f"""
        SELECT * EXCLUDE (short, whole, naive, shift, local, mark, said, why),
            naive - to_minutes(coalesce(shift, local)) AS {p}_instant,
            (CASE WHEN shift IS NOT NULL THEN {offset} ELSE local END)::SMALLINT AS {p}_shift,
            shift IS NOT NULL AS {p}_own,
            {listed("said", "CASE WHEN mark = 'repeated' THEN 'hour-repeated' END")} AS {p}_repair,
            coalesce(why, CASE WHEN mark = 'skipped' THEN 'time-skipped' END) AS {p}_reason
        FROM (
            SELECT *, {local} AS local, CASE WHEN shift IS NULL THEN {mark} ELSE 'plain' END AS mark
            FROM (
                SELECT r.*, {naive} AS naive, coalesce({clock.shift}, o.shift::SMALLINT) AS shift,
                    {_repairs(clock)} AS said,
                    CASE WHEN {clock.text} IS NULL THEN 'no-time' ELSE o.reason END AS why
                FROM {clock.parsed(source)} {join}))"""


def _repairs(clock: Clock) -> str:
    joined = f"CASE WHEN contains({clock.text}, chr({ord(APART)})) THEN 'time-joined' END"
    parts = [joined] if "concat_ws" in clock.text else []
    if clock.short != _parsed("", []):
        parts.append(f"CASE WHEN short IS NOT NULL THEN '{SHORT_YEAR}' END")
    return listed(*parts, "o.repair")


def _formats(con: Any, text: str, order: str) -> tuple[list[str], list[str]]:
    """Formats with a two-digit and with a four-digit year that a sample of the texts asks for."""
    alike = f"SELECT DISTINCT translate({text}, '012345678', '999999999') FROM (FROM lines LIMIT {SAMPLE})"
    shapes = {split_offset(shape(t))[0] for (t,) in con.execute(alike).fetchall() if t}
    formats = [f for f in time_formats(sorted(shapes), order) if "%H" in f or "%I" in f]
    short = [f for f in formats if format_repair(f) == SHORT_YEAR]
    return short, [f for f in formats if f not in short]


def _parsed(text: str, formats: list[str]) -> str:
    if not formats:
        return "NULL::TIMESTAMP"
    read = f"try_strptime({text}, {formats!r})"
    # DuckDB reads "26" under %Y as the year 26; what lies before the earliest chart is left to the intake.
    return f"CASE WHEN {read} >= TIMESTAMP '{EARLIEST}' THEN {read} END"


def _with_offsets(con: Any, clock: Clock, text: str, short: list[str], whole: list[str]) -> Clock:
    """The clock with the texts' offsets from UTC cut off and read."""
    matched = f"regexp_extract({text}, '{OFFSET}', 2)"
    offsets = [o for (o,) in con.execute(f"SELECT DISTINCT {matched} FROM lines").fetchall() if o]
    branches = " ".join(f"WHEN '{o}' THEN {split_offset('2026-01-01T00:00:00' + o)[1]}" for o in offsets)
    bare = f"CASE WHEN {matched} = '' THEN {text} ELSE trim(regexp_extract({text}, '{OFFSET}', 1)) END"
    shift = f"(CASE {matched} {branches} END)::SMALLINT"
    return Clock(
        role=clock.role, text=clock.text, short=_parsed(bare, short), whole=_parsed(bare, whole), shift=shift
    )


def _unread(con: Any, clock: Clock, most: int | None = None) -> list[str]:
    """The distinct texts that no format reads, all or at `most` so many."""
    if clock.text == NOTHING:
        return []
    texts = f"SELECT DISTINCT ({clock.unread}) AS text FROM {clock.parsed('lines')}"
    limit = f"LIMIT {most}" if most else ""
    return [t for (t,) in con.execute(f"FROM ({texts}) WHERE text IS NOT NULL {limit}").fetchall()]


def _read_odd(con: Any, clock: Clock, texts: list[str], order: str, excel_1904: bool) -> None:
    whole = [join_time(*t.split(APART, 1)) if APART in t else t for t in texts]
    reads = [read_time(t, order, excel_1904=excel_1904) for t in whole]
    make_table(
        con,
        clock.odd,
        {
            "text": ("VARCHAR", texts),
            "naive": ("TIMESTAMP", [r.when.isoformat(sep=" ") if r.when else None for r in reads]),
            "shift": ("DOUBLE", [r.offset for r in reads]),
            "repair": ("VARCHAR", [r.repair for r in reads]),
            "reason": ("VARCHAR", [r.reason for r in reads]),
        },
    )


def _zone_offset(zone: str) -> str:
    """SQL for the zone's offset in minutes at the instant of a wall clock with an offset of its own."""
    return (
        f"(epoch(timezone('{zone}', (naive - to_minutes(shift))::TIMESTAMPTZ)) - epoch(naive)) // 60 + shift"
    )


def _case(stretches: Sequence[Stretch], answer: Callable[[Stretch], str], otherwise: str) -> str:
    branches = " ".join(f"WHEN naive < TIMESTAMP '{s.until}' THEN {answer(s)}" for s in stretches)
    return f"(CASE {branches} ELSE {otherwise} END)" if branches else otherwise
