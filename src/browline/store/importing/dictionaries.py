"""Dictionary tables: each distinct cell of a column, read once by the intake, joined to every row.

A million readings hold a few thousand distinct cells, so the reading of texts can stay plain Python. The
joins compare cells as they stand: trimming a million of them costs more than all else that is done to them.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from browline.store.importing.cells import Cells

WORDS = "WORDS"
Texts = tuple[str | None, ...]


def distinct(con: Any, keys: Mapping[str, str], source: str = "lines r") -> list[tuple[Texts, Texts]]:
    """The distinct combinations of `keys` (name: SQL over `source`), as they stand and trimmed, blank as NULL."""
    picks = ", ".join(f"{cell} AS {name}" for name, cell in keys.items())
    texts = ", ".join(f"nullif(trim({name}), '')" for name in keys)
    rows = con.execute(f"SELECT *, {texts} FROM (SELECT DISTINCT {picks} FROM {source})").fetchall()
    return [(row[: len(keys)], row[len(keys) :]) for row in rows]


def key_columns(keys: Mapping[str, str], cells: Sequence[Texts]) -> dict[str, tuple[str, Sequence[Any]]]:
    """The columns of a dictionary that hold its keys, for `make_table`."""
    return {name: ("VARCHAR", [c[k] for c in cells]) for k, name in enumerate(keys)}


def matching(keys: Mapping[str, str], table: str) -> str:
    """SQL for the join of dictionary `table` on its keys, an empty cell being a key like any other."""
    return " AND ".join(f"{table}.{name} IS NOT DISTINCT FROM {cell}" for name, cell in keys.items())


def make_table(con: Any, name: str, columns: Mapping[str, tuple[str, Sequence[Any]]]) -> None:
    """Make temp table `name`; `columns` maps a column's name to its SQL type and its values (None = NULL).

    The type `WORDS` is an ENUM of the column's own values: every row joined to it carries a small number.
    """
    con.register("arrays", {c: _array(kind, values) for c, (kind, values) in columns.items()})
    for column in (c for c, (kind, _) in columns.items() if kind == WORDS):
        words = f"SELECT DISTINCT {column}::VARCHAR FROM arrays WHERE {column} IS NOT NULL ORDER BY 1"
        con.execute(f"CREATE OR REPLACE TYPE {name}_{column} AS ENUM ({words})")
    picks = ", ".join(_pick(c, f"{name}_{c}" if kind == WORDS else kind) for c, (kind, _) in columns.items())
    con.execute(f"CREATE OR REPLACE TEMP TABLE {name} AS SELECT {picks} FROM arrays")
    con.unregister("arrays")


def _array(kind: str, values: Sequence[Any]) -> np.ndarray:
    if kind == "DOUBLE":
        return np.array([np.nan if v is None else v for v in values], dtype=np.float64)
    if kind in ("BIGINT", "SMALLINT"):
        return np.array([0 if v is None else v for v in values], dtype=np.int64)
    return np.array(list(values), dtype=object)


def _pick(column: str, kind: str) -> str:
    if kind == "DOUBLE":
        return f"nullif({column}, 'nan'::DOUBLE) AS {column}"
    return f"{column}::VARCHAR::{kind} AS {column}"


def read_texts(
    con: Any,
    cells: Cells,
    role: str,
    name: str,
    read: Callable[[str], tuple[Any, ...]],
    columns: Iterable[tuple[str, str]],
) -> None:
    """Make dictionary `name` of one role: columns `cell`, `text` and what `read` answers for the text."""
    cells_and_texts = distinct(con, {"cell": cells.cell(role)}) if cells.has(role) else []
    pairs = [(cell, text) for (cell,), (text,) in cells_and_texts if text is not None]
    answers = [read(text) for _, text in pairs]
    table: dict[str, tuple[str, Sequence[Any]]] = {
        "cell": ("VARCHAR", [cell for cell, _ in pairs]),
        "text": ("VARCHAR", [text for _, text in pairs]),
    }
    for k, (column, kind) in enumerate(columns):
        table[column] = (kind, [a[k] for a in answers])
    make_table(con, name, table)
