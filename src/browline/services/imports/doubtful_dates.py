"""Receipts of files that an earlier version may have read by the order of dates of a file before them.

Which order decided was not written down then. A file is doubted when one with the same headings came before it and
no day above the 12th was read from it (with day and month exchanged there can be none), or rows were set aside for
impossible dates. She looks and says that the dates are right, or takes the import back and brings the file again.
"""

from browline.columns import IMPORT_KINDS
from browline.errors import NotUnderstood
from browline.store.event_log import recorded
from browline.store.folder import Book
from browline.store.importing.files import quoted
from browline.store.memory import working_memory
from browline.store.models import Import

WHY = (
    "An earlier version of browline may have taken the order of day and month from the file before. If 3 May reads as"
    " 5 March here, take the import back and bring the file again: you are then asked."
)


def doubtful_dates(book: Book) -> list[Import]:
    """Imports in force to be looked at again, the latest first."""
    before: set[tuple[str, str]] = set()
    doubted = []
    for row in Import.objects.order_by("id"):
        if IMPORT_KINDS[row.kind].reader != "columns":
            continue
        headings = (row.kind, repr(sorted(row.mapping.get("columns", {}).items())))
        if headings in before and _may_be_wrong(book, row):
            doubted.append(row)
        before.add(headings)
    return doubted[::-1]


def doubtful_dates_note(book: Book) -> list[str]:
    """A sentence for a receipt; none where nothing is in doubt."""
    if not (doubted := doubtful_dates(book)):
        return []
    which = ", ".join(row.label.removesuffix(" the file") for row in doubted)
    return [f"Look at the dates of receipts taken earlier: {which}. {WHY} They stand on the Readings page."]


def say_dates_are_right(import_id: int, actor: str) -> None:
    """She looked: the dates of this import are right."""
    with recorded(actor, "dates-are-right", import_id):
        row = Import.objects.in_force().filter(pk=import_id).first()
        if row is None:
            raise NotUnderstood(
                f"There is no import {import_id} in force.",
                "One in force can be looked at.",
                "Choose another.",
            )
        Import.objects.filter(pk=import_id).update(mapping=row.mapping | {"dates_are_right": True})


def _may_be_wrong(book: Book, row: Import) -> bool:
    """Whether nobody knows by which order this import was read and nothing in it speaks for the one used."""
    known = row.undone or not row.taken or {"date_order", "dates_are_right"} & set(row.mapping)
    if known or not {"time", "date"} & set(row.mapping.get("columns", {})):
        return False
    impossible = any(reason["code"] == "time-impossible" for reason in row.reasons)
    return impossible or _latest_month_day(book, row) <= 12


def _latest_month_day(book: Book, row: Import) -> int:
    """The highest day of a month among its readings; of a register, among the first and last of its times."""
    ends = max((when.day for when in (row.first, row.last) if when), default=31)
    path = book.readings / row.readings_file
    # The ends are known without opening the file, in another zone: by a day, and only a later one settles it.
    if ends > 13 or not row.readings_file or not path.is_file():
        return ends
    latest = working_memory().execute(
        f"SELECT max(day(time + to_minutes(coalesce(shift, 0)))) FROM read_parquet('{quoted(path)}')"
    )
    return int(latest.fetchone()[0])
