"""A first look at a table: its columns summarised for the intake, and a few rows to show. Nothing is kept."""

from dataclasses import replace
from typing import Any

from browline.intake import Mapping, Profile, date_part, settle_dates
from browline.store.importing.cells import headed
from browline.store.importing.times import time_text
from browline.store.memory import working_memory
from browline.store.sources import Table

TEXTS, SAMPLE = 100, 5
ENOUGH = 100_000
TIME_ROLES = ("time", "entered", "from", "until")


def column_profiles(table: Table) -> tuple[tuple[Profile, ...], tuple[tuple[str, ...], ...]]:
    """Profiles of the table's columns and a few sample rows, from the first `ENOUGH` rows of its first block."""
    con = working_memory()
    for rows in table.beginning(con, "raw"):
        con.execute(f"CREATE OR REPLACE TEMP VIEW shown AS SELECT * FROM raw LIMIT {ENOUGH}")
        profiles = tuple(_profile(con, h, k, min(rows, ENOUGH)) for k, h in enumerate(table.headings))
        columns = ", ".join(f"coalesce(c{k}, '')" for k in range(len(table.headings)))
        sample = con.execute(f"SELECT {columns} FROM shown ORDER BY row LIMIT {SAMPLE}").fetchall()
        return profiles, tuple(sample)
    return tuple(Profile(heading=h, texts=(), counts=(), filled=0, rows=0) for h in table.headings), ()


def _profile(con: Any, heading: str, k: int, rows: int) -> Profile:
    commonest = con.execute(
        f"""SELECT trim(cell) AS text, sum(n)::BIGINT, sum(sum(n)) OVER ()::BIGINT
        FROM (SELECT c{k} AS cell, count(*) AS n FROM shown WHERE cell IS NOT NULL GROUP BY cell)
        WHERE text <> '' GROUP BY text ORDER BY 2 DESC, text LIMIT {TEXTS}"""
    ).fetchall()
    texts, counts, filled = zip(*commonest, strict=True) if commonest else ((), (), (0,))
    return Profile(heading=heading, texts=texts, counts=counts, filled=filled[0], rows=rows)


def settle_order(table: Table, mapping: Mapping, *, decided: bool) -> Mapping:
    """The mapping with its date order settled from every row; raises `Undecided` where nobody can tell.

    A year-first order is plain from a sample; an order a person has `decided` is not asked again.
    """
    if decided or mapping.date_order == "ymd":
        return mapping
    con, cells = working_memory(), headed(table.headings, mapping.columns)
    dates: set[str] = set()
    for _ in table.blocks(con, "raw"):
        for role in TIME_ROLES:
            text = f"split_part({time_text(cells, role)}, chr(31), 1)"
            day = rf"regexp_replace({text}, '[ T,]+\d{{1,2}}[:.h]\d{{2}}.*$', '')"
            dates.update(t for (t,) in con.execute(f"SELECT DISTINCT {day} FROM raw").fetchall() if t)
    return replace(mapping, date_order=settle_dates({date_part(t) for t in dates}))
