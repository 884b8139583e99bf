"""`browline coverage`: who on duty can do it, who not, and which ward, shift and role has most left to see."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from browline import display
from browline.cli.arguments import check_folder
from browline.cli.as_json import put_text
from browline.competency.explain import NO_WARD
from browline.documents.coverage import CoverageDocument, DutyPart, WeeksPart, coverage_json
from browline.errors import NotUnderstood
from browline.services.book.clock import local_day, ward_zone
from browline.services.training.coverage import coming_night
from browline.services.training.coverage.document import coverage_document
from browline.store.book import default_folder, existing_book, open_book

MOMENT = "%Y-%m-%d %H:%M"
FIRST_CELLS = 10
YEARS = range(1990, 2101)


def coverage(
    *,
    at: str | None = None,
    json_to: Annotated[str | None, Parameter(name="--json", allow_leading_hyphen=True)] = None,
    book: Path | None = None,
) -> None:
    """Say who on duty is signed off, who is not and why, and which ward, shift and role has most left to see.

    Parameters
    ----------
    at
        the moment to ask about, as "2026-03-07 23:00" on the hospital's clock; the coming night when not said.
    json_to
        write it as JSON, with names, to this file, or - for standard output.
    book
        the book's folder.
    """
    if json_to not in (None, "-"):
        check_folder(Path(json_to))
    open_book(existing_book(book or default_folder()))
    moment = _moment(at)
    document = coverage_document(moment, local_day(moment))
    if json_to != "-":
        _show(document)
    if json_to:
        put_text(json_to, coverage_json(document))


def _moment(at: str | None) -> datetime:

    from django.utils import timezone

    if at is None:
        return coming_night(timezone.now())
    try:
        moment = datetime.strptime(at, MOMENT)
    except ValueError as fault:
        raise NotUnderstood(
            f"--at is {at!r}.", 'A moment looks like "2026-03-07 23:00".', "Write it so."
        ) from fault
    if moment.year not in YEARS:
        raise NotUnderstood(
            f"--at is in the year {moment.year}.", "No roster reaches there.", "Look at the year."
        )
    return moment.replace(tzinfo=ward_zone())


def _show(document: CoverageDocument) -> None:
    print(f"On duty {display.moment(datetime.fromisoformat(document.moment))}")
    _show_duty(document.on_duty)
    _show_cells(document.weeks)


def _show_duty(duty: DutyPart) -> None:
    for line in duty.lines:
        print(f"  {line}")
    if duty.not_signed_off:
        print("\nOn duty and not signed off, by ward:")
    for row in duty.not_signed_off:
        print(f"  - {row.name} ({row.ward or NO_WARD}): {row.sentence}")
    for word, rows in (("unknown", duty.unknown), ("excluded", duty.excluded)):
        for uncounted in rows:
            print(f"  {word}: {uncounted.name}, {uncounted.reason}")


def _show_cells(weeks: WeeksPart) -> None:
    print(f"\nBy ward, shift and role, {_day(weeks.first)} to {_day(weeks.last)}, most left to see first:")
    for cell in weeks.cells[:FIRST_CELLS]:
        print(f"  - {cell.sentence}")
    if len(weeks.cells) > FIRST_CELLS:
        print(f"  and {len(weeks.cells) - FIRST_CELLS} more; --json - prints all")
    if not weeks.cells:
        print("  Nobody to count yet: bring in a staff list, and a roster for the weeks ahead.")


def _day(text: str) -> str:
    return display.day(datetime.fromisoformat(text))
