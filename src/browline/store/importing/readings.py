"""A table of readings made ready: staged block by block, duplicates marked, its files written and durable.

Nothing is in the book yet: `commit` names the files in one transaction. A table of one block stays in
memory; a larger one is staged in typed, pseudonymous parts beside the readings, so memory stays bounded.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from browline.errors import InputRefused
from browline.intake import Mapping
from browline.store.folder import Book
from browline.store.importing.cells import Cells, headed
from browline.store.importing.duplicates import mark_duplicates
from browline.store.importing.files import quoted, write_parquet
from browline.store.importing.picturing import stop_or_note, value_picture
from browline.store.importing.staging import STORED, Known, stage_block
from browline.store.memory import working_memory
from browline.store.sources import Table

Progress = Callable[[int, int, str], None]
EXAMPLES = 5


@dataclass(frozen=True)
class Counted:
    """How often a reason or a repair occurred, and the file's row numbers of the first few."""

    code: str
    count: int
    rows: tuple[int, ...]


@dataclass(frozen=True)
class Prepared:
    """A table ready to be named in the book. `own_clock`: readings taken whose time says its own offset from UTC.

    `remarks`: what was put right as the table was read, and cannot be taken back by itself.
    """

    table: str
    kind: str
    rows: int
    taken: int
    already_here: int
    set_aside: int
    repaired: int
    reasons: tuple[Counted, ...]
    repairs: tuple[Counted, ...]
    remarks: tuple[Counted, ...] = ()
    readings_file: str = ""
    set_aside_file: str = ""
    first: datetime | None = None
    last: datetime | None = None
    people: dict[int, str] = field(default_factory=dict)
    instruments: tuple[str, ...] = ()
    filled: tuple[str, ...] = ()
    hours: tuple[tuple[int, int, float], ...] = ()
    own_clock: int = 0
    wards: tuple[str, ...] = ()
    unsure_sites: tuple[tuple[str, int], ...] = ()
    entries: tuple[Any, ...] = ()
    vouched: str = ""


def prepare_readings(
    book: Book, table: Table, mapping: Mapping, known: Known, stored: list[Path], progress: Progress
) -> Prepared:
    """Stage the table and write its Parquet files; `stored` are the files its rows may already be in."""
    con = working_memory()
    people = _stage(con, book, table, mapping, known, progress)
    progress(0, 0, "looking for readings that are already here")
    again = mark_duplicates(con, "staged", stored)
    con.execute(
        "CREATE TEMP VIEW kept AS SELECT * FROM staged ANTI JOIN again USING (id) WHERE reason IS NULL"
    )
    rows, aside = con.execute("SELECT count(*), count(reason) FROM staged").fetchone()
    taken = rows - aside - again
    vouched = stop_or_note(value_picture(con), known.vouched) if taken or not again else ""
    progress(0, 0, "writing")
    prepared = Prepared(
        table=table.label,
        kind="readings",
        rows=rows,
        taken=taken,
        already_here=again,
        set_aside=aside,
        reasons=_counted(con, "SELECT reason AS code, row FROM staged WHERE reason IS NOT NULL"),
        repairs=_counted(con, "SELECT unnest(string_split(repairs, ',')) AS code, row FROM kept"),
        readings_file=write_parquet(con, f"SELECT {STORED} FROM kept", book) if taken else "",
        set_aside_file=write_parquet(con, _set_aside_query(), book) if aside else "",
        people=_people(con, people),
        vouched=vouched,
        **_facts(con),
    )
    for part in book.readings.glob("*.staged.part"):
        part.unlink()
    return prepared


def _stage(
    con: Any, book: Book, table: Table, mapping: Mapping, known: Known, progress: Progress
) -> dict[int, str]:
    cells, people, parts, total = _cells(table, mapping, known), {}, [], 0
    for number, rows in enumerate(table.blocks(con, "raw")):
        if number == 1:
            parts.append(_spill(con, book, 0))
        stage_block(con, cells, mapping, known, number)
        people.update(con.execute("SELECT DISTINCT code, name FROM d_person WHERE name <> ''").fetchall())
        if number:
            parts.append(_spill(con, book, number))
        total += rows
        progress(total, 0, "reading rows")
    if not total:
        raise InputRefused(
            "The table has headings and no rows.",
            "An export holds at least one reading.",
            "Check the export.",
        )
    source = f"read_parquet([{', '.join(parts)}])" if parts else "block"
    con.execute(f"CREATE TEMP VIEW told AS SELECT * FROM {source}")
    con.execute(f"CREATE TEMP VIEW staged AS {_without_replaced(con)}")
    return people


def _without_replaced(con: Any) -> str:
    """The rows told, those with a corrected version of the same reading in the file being set aside."""
    corrected = "coalesce(list_contains(string_split(flags, ','), 'corrected'), false)"
    if not con.execute(f"SELECT count(*) FROM told WHERE reason IS NULL AND {corrected}").fetchone()[0]:
        return "SELECT * FROM told"
    sound = "(SELECT *, coalesce(stay, patient) AS who FROM told WHERE reason IS NULL AND"
    con.execute(
        f"""CREATE TEMP TABLE replaced AS SELECT id FROM {sound} NOT {corrected})
        SEMI JOIN {sound} {corrected}) USING (who, time, site)"""
    )
    return """SELECT t.* EXCLUDE (reason), CASE WHEN r.id IS NULL THEN t.reason ELSE 'replaced' END AS reason
        FROM told t LEFT JOIN replaced r USING (id)"""


def _cells(table: Table, mapping: Mapping, known: Known) -> Cells:
    columns = dict(mapping.columns)
    if known.canonical:
        columns.update(reason="reason", repairs="repairs")
    if mapping.site_fallback:
        columns.setdefault("method", mapping.site_fallback)
    if mapping.row_filter:
        columns["keep"] = mapping.row_filter.heading
    return headed(table.headings, columns)


def _spill(con: Any, book: Book, number: int) -> str:
    """Write a block as a part; a row that was not taken keeps a name only where a taken row says it too."""
    known = ", ".join(
        f"CASE WHEN reason IS NULL OR {c} IN (SELECT {c} FROM block WHERE reason IS NULL) THEN {c} END AS {c}"
        for c in ("ward", "instrument")
    )
    part = book.readings / f"{number:05d}.staged.part"
    con.execute(f"COPY (SELECT * REPLACE ({known}) FROM block) TO '{quoted(part)}' (FORMAT parquet)")
    return f"'{quoted(part)}'"


def _people(con: Any, people: dict[int, str]) -> dict[int, str]:
    """The people of the rows taken; in a broken row that cell may hold anything."""
    return {
        code: people[code]
        for (code,) in con.execute("SELECT DISTINCT person FROM kept").fetchall()
        if code in people
    }


def _counted(con: Any, query: str) -> tuple[Counted, ...]:
    counts = con.execute(
        f"SELECT code, count(*), min(row, {EXAMPLES}) FROM ({query}) GROUP BY code ORDER BY 2 DESC, 1"
    ).fetchall()
    return tuple(Counted(code, count, tuple(rows)) for code, count, rows in counts)


def _set_aside_query() -> str:
    """Set-aside rows with what may be kept: a ward or instrument only where taken rows say it too."""
    return """SELECT row, reason, time, shift, unit, site, original,
        CASE WHEN ward IN (SELECT ward FROM kept) THEN ward END AS ward,
        CASE WHEN instrument IN (SELECT instrument FROM kept) THEN instrument END AS instrument,
        patient, stay, person FROM staged WHERE reason IS NOT NULL"""


def _facts(con: Any) -> dict[str, Any]:
    columns = ("patient", "stay", "site", "instrument", "person", "ward", "care", "age", "entered")
    counts = ", ".join(f"count({c})" if c != "site" else "count_if(site <> 'unknown')" for c in columns)
    repaired, with_offset, first, last, *filled = con.execute(
        f"SELECT count(repairs), count_if(own), min(time), max(time), {counts} FROM kept"
    ).fetchone()
    hours = con.execute(
        """SELECT hour(time + to_minutes(shift)) AS h, count(*), avg(value) FROM kept
        WHERE value BETWEEN 35 AND 39 GROUP BY h ORDER BY h"""
    ).fetchall()
    names = con.execute(
        "SELECT DISTINCT instrument FROM kept WHERE instrument IS NOT NULL ORDER BY 1"
    ).fetchall()
    wards = con.execute("SELECT DISTINCT ward FROM kept WHERE ward IS NOT NULL ORDER BY 1").fetchall()
    unsure = con.execute(
        "SELECT word, count(*) FROM kept WHERE site = 'unknown' AND word <> '' GROUP BY 1 ORDER BY 2 DESC, 1 LIMIT 5"
    ).fetchall()
    return {
        "unsure_sites": tuple(unsure),
        "repaired": repaired,
        "own_clock": with_offset,
        "first": first,
        "last": last,
        "filled": tuple(c for c, n in zip(columns, filled, strict=True) if n),
        "hours": tuple(hours),
        "instruments": tuple(n for (n,) in names),
        "wards": tuple(w for (w,) in wards),
    }
