"""The readings of a book as one table of columns, from the Parquet files that its imports name."""

from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np

from browline.readings import CARES, FACTORS, MISSING, AsCharted, Readings
from browline.store.folder import Book
from browline.store.importing.files import quoted
from browline.store.lost import refuse_lost_readings
from browline.store.memory import working_memory
from browline.store.models import Import, UndoneRepair


def reading_files(book: Book) -> dict[int, Path]:
    """Parquet files of readings in force, by the number of their import; refused where one is missing."""
    files = named_files(book)
    refuse_lost_readings(files.values())
    return files


def named_files(book: Book) -> dict[int, Path]:
    """The same as the records name them, whether they lie there or not."""
    live = Import.objects.in_force().filter(kind="readings").exclude(readings_file="")
    return {i.pk: book.readings / i.readings_file for i in live.order_by("pk")}


def load_readings(book: Book, since: datetime | None = None, until: datetime | None = None) -> Readings:
    """All readings in force, in time order; `since` and `until` are instants (until is not included).

    Rows of a repair that was taken back are left out. One pass over the files; arrays of the columns only.
    """
    con = working_memory()
    source = view_readings(con, book)
    where = between(since, until)
    for factor in FACTORS:
        con.execute(
            f"""CREATE TEMP TABLE names_{factor} AS
            SELECT name, (row_number() OVER (ORDER BY name) - 1)::INTEGER AS code
            FROM (SELECT DISTINCT {factor} AS name FROM {source} WHERE {factor} IS NOT NULL{where})"""
        )
    codes = ", ".join(f"coalesce(names_{f}.code, {MISSING})::INTEGER AS {f}" for f in FACTORS)
    joins = " ".join(f"LEFT JOIN names_{f} ON names_{f}.name = r.{f}" for f in FACTORS)
    got = con.execute(
        f"""SELECT epoch_us(time) / 3.6e9 AS hours, epoch_us(time + to_minutes(shift)) / 3.6e9 AS local, value,
        row, source, charted, coalesce(unit = 'F', false) AS fahrenheit,
        list_contains(string_split(coalesce(repairs, ''), ','), 'unit-put-right') AS slipped,
        coalesce(age, 'nan'::FLOAT) AS age, {DELAY} AS delay, {_care()} AS care,
        {codes} FROM {source} r {joins} WHERE true{where} ORDER BY time, source, row"""
    ).fetchnumpy()
    return Readings(
        time=got["hours"].astype(np.float64),
        hour=np.mod(got["local"].astype(np.float64), 24.0),
        value=got["value"].astype(np.float64),
        codes={f: got[f].astype(np.int32) for f in FACTORS},
        names={f: _names(con, f) for f in FACTORS},
        row=got["row"].astype(np.int64),
        source=got["source"].astype(np.int32),
        charted=AsCharted(
            value=got["charted"].astype(np.float64),
            fahrenheit=got["fahrenheit"].astype(np.bool_),
            slipped=got["slipped"].astype(np.bool_),
            age=got["age"].astype(np.float32),
            delay=got["delay"].astype(np.float32),
            care=got["care"].astype(np.int8),
        ),
    )


DELAY = "coalesce(((epoch_us(entered) - epoch_us(time)) / 3.6e9)::FLOAT, 'nan'::FLOAT)"


def _care() -> str:
    """SQL for the kind of care as its place in `CARES`."""
    places = " ".join(f"WHEN '{name}' THEN {place}" for place, name in enumerate(CARES))
    return f"(CASE care {places} ELSE {MISSING} END)::TINYINT"


def view_readings(con: Any, book: Book) -> str:
    """Make view `readings` of every reading in force, with its import's number as `source`; returns its name."""
    files = reading_files(book)
    if not files:
        empty = ", ".join(f"NULL::{kind} AS {name}" for name, kind in EMPTY.items())
        con.execute(f"CREATE TEMP VIEW readings AS SELECT {empty} WHERE false")
        return "readings"
    parts = [
        f"SELECT {number} AS source, * FROM read_parquet('{quoted(path)}')" for number, path in files.items()
    ]
    con.execute(f"CREATE TEMP VIEW readings AS SELECT * FROM ({' UNION ALL '.join(parts)}) r{_undone(files)}")
    return "readings"


EMPTY = {
    "source": "INTEGER", "row": "BIGINT", "time": "TIMESTAMP", "shift": "SMALLINT", "value": "DOUBLE",
    "charted": "DOUBLE", "unit": "VARCHAR", "site": "VARCHAR", "word": "VARCHAR", "instrument": "VARCHAR",
    "person": "BIGINT", "ward": "VARCHAR", "care": "VARCHAR", "age": "FLOAT", "entered": "TIMESTAMP",
    "flags": "VARCHAR", "repairs": "VARCHAR", "original": "VARCHAR", "patient": "BIGINT", "stay": "BIGINT",
}  # fmt: skip


def _undone(files: dict[int, Path]) -> str:
    undone = UndoneRepair.objects.filter(source_id__in=files).values_list("source_id", "code")
    tests = [f"(source = {s} AND list_contains(string_split(repairs, ','), '{code}'))" for s, code in undone]
    return f" WHERE NOT coalesce({' OR '.join(tests)}, false)" if tests else ""


def between(since: datetime | None, until: datetime | None) -> str:
    """SQL to add to a WHERE: `time` from `since` up to but not including `until`."""
    where = ""
    if since is not None:
        where += f" AND time >= TIMESTAMP '{since:%Y-%m-%d %H:%M:%S}'"
    if until is not None:
        where += f" AND time < TIMESTAMP '{until:%Y-%m-%d %H:%M:%S}'"
    return where


def _names(con: Any, factor: str) -> tuple[str, ...]:
    return tuple(
        str(name) for (name,) in con.execute(f"SELECT name FROM names_{factor} ORDER BY code").fetchall()
    )
