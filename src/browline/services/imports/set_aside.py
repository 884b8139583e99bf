"""The rows an import set aside: number, reason, and what may be kept of them, identifiers pseudonymised."""

from collections.abc import Sequence

from browline.intake import REASONS
from browline.store.folder import Book
from browline.store.importing.files import quoted
from browline.store.memory import working_memory
from browline.store.models import Import

FIELDS = ("time", "unit", "site", "original", "ward", "instrument", "patient", "stay", "person")


def set_aside_rows(book: Book, import_id: int) -> list[dict[str, object]]:
    """Every set-aside row of one import in file order; empty for a register, whose receipt names its rows."""
    source = Import.objects.get(pk=import_id)
    if not source.set_aside_file:
        return []
    local = "strftime(time + to_minutes(coalesce(shift, 0)), '%Y-%m-%d %H:%M')"
    picks = ", ".join(local if name == "time" else name for name in FIELDS)
    path = quoted(book.readings / source.set_aside_file)
    rows = (
        working_memory()
        .execute(f"SELECT row, reason, {picks} FROM read_parquet('{path}') ORDER BY row")
        .fetchall()
    )
    return [
        {"row": row, "reason": reason, "sentence": REASONS.get(reason, reason), **_cells(cells)}
        for row, reason, *cells in rows
    ]


def _cells(cells: Sequence[object]) -> dict[str, str]:
    return {name: "" if cell is None else str(cell) for name, cell in zip(FIELDS, cells, strict=True)}
