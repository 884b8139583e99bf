"""Which staged readings are already here: re-sent rows, overlapping exports, the same file again.

A reading is the same when patient or stay, time, value, site, instrument, person and ward agree. With a patient
or stay, a second row of that kind is a re-sent one: nobody is read twice within the minute to the same tenth
with nothing else changed. Without, two patients may share a row, so copies are counted: a file adds only
the copies that the book does not yet hold. Real repeats differ in time and survive.
"""

from pathlib import Path
from typing import Any

from browline.store.importing.files import quoted

# Words are compared as text: in a staged block they are numbers of its own lists.
SAME = """hash(coalesce(stay, patient), time, round(value, 3), site::VARCHAR, instrument::VARCHAR, person,
    ward::VARCHAR)"""


def mark_duplicates(con: Any, staged: str, stored: list[Path]) -> int:
    """Make temp table `again(id)` of staged rows that are already here or re-sent; returns how many."""
    con.execute(
        f"""CREATE OR REPLACE TEMP TABLE fresh AS
        SELECT id, {SAME} AS k, coalesce(stay, patient) IS NOT NULL AS known FROM {staged} WHERE reason IS NULL"""
    )
    con.execute(f"CREATE OR REPLACE TEMP TABLE here AS {_stored_copies(stored, staged)}")
    con.execute(
        """CREATE OR REPLACE TEMP TABLE again AS
        WITH suspect AS (SELECT k FROM fresh GROUP BY k HAVING count(*) > 1 UNION SELECT k FROM here),
        numbered AS (
            SELECT id, known, k, row_number() OVER (PARTITION BY k ORDER BY id) AS nth
            FROM fresh SEMI JOIN suspect USING (k))
        SELECT id FROM numbered LEFT JOIN here USING (k)
        WHERE nth <= coalesce(copies, 0) OR (known AND (nth > 1 OR copies IS NOT NULL))"""
    )
    con.execute("DROP TABLE fresh")
    return int(con.execute("SELECT count(*) FROM again").fetchone()[0])


def _stored_copies(stored: list[Path], staged: str) -> str:
    if not stored:
        return "SELECT NULL::UBIGINT AS k, 0::BIGINT AS copies WHERE false"
    files = ", ".join(f"'{quoted(p)}'" for p in stored)
    return f"""SELECT k, count(*) AS copies FROM (
        SELECT {SAME} AS k FROM read_parquet([{files}])
        WHERE time BETWEEN (SELECT min(time) FROM {staged}) AND (SELECT max(time) FROM {staged})
    ) GROUP BY k"""
