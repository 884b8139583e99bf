"""Dictionary tables: each distinct text of a column, read once by the intake, joined to every row.

A million readings hold a few thousand distinct texts, so the reading of texts can stay plain Python.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np

from browline.store.importing.cells import Cells


def distinct(con: Any, cells: Cells, *roles: str, source: str = "lines") -> list[tuple[str | None, ...]]:
    """The distinct combinations of texts in the cells of `roles`, NULL where a cell is blank or unmapped."""
    picks = ", ".join(cells.text(role) for role in roles)
    return con.execute(f"SELECT DISTINCT {picks} FROM {source}").fetchall()


def make_table(con: Any, name: str, columns: dict[str, tuple[str, Sequence[Any]]]) -> None:
    """Make temp table `name`; `columns` maps a column's name to its SQL type and its values (None = NULL)."""
    arrays = {c: _array(kind, values) for c, (kind, values) in columns.items()}
    picks = ", ".join(_pick(c, kind) for c, (kind, _) in columns.items())
    con.register("arrays", arrays)
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
    return f"{column}::{kind} AS {column}"


def read_texts(
    con: Any,
    cells: Cells,
    role: str,
    name: str,
    read: Callable[[str], tuple[Any, ...]],
    columns: Iterable[tuple[str, str]],
) -> None:
    """Make dictionary `name` of one role: column `text` and what `read` answers for it."""
    texts = [t for (t,) in distinct(con, cells, role) if t is not None] if cells.has(role) else []
    answers = [read(t) for t in texts]
    table: dict[str, tuple[str, Sequence[Any]]] = {"text": ("VARCHAR", texts)}
    for k, (column, kind) in enumerate(columns):
        table[column] = (kind, [a[k] for a in answers])
    make_table(con, name, table)
