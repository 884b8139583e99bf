"""`browline instruments`: where the instruments are today, and what is due."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from browline.cli.arguments import check_folder
from browline.cli.as_json import put_text
from browline.documents.instruments import InstrumentsDocument, instruments_json
from browline.services.book.clock import ward_zone
from browline.services.instruments.document import instruments_document
from browline.services.instruments.status import standing
from browline.store.book import default_folder, existing_book, open_book


def instruments(
    *,
    book: Path | None = None,
    json_to: Annotated[str | None, Parameter(name="--json", allow_leading_hyphen=True)] = None,
) -> None:
    """Say how many instruments are located of those in service, what is due today, and what each ward has ready.

    Parameters
    ----------
    book
        the book's folder.
    json_to
        write it as JSON to this file, or - for standard output.
    """
    from django.utils import timezone

    if json_to not in (None, "-"):
        check_folder(Path(json_to))
    opened = open_book(existing_book(book or default_folder()))
    document = instruments_document(standing(opened, timezone.now().astimezone(ward_zone())))
    text = instruments_json(document)
    if json_to != "-":
        _show(document)
    if json_to:
        put_text(json_to, text)


def _show(document: InstrumentsDocument) -> None:
    print(document.count.sentence)
    print()
    print("Due today" if document.due else "Nothing is due today.")
    for task in document.due:
        print(f"  {task.title}. {' '.join(task.reasons)}")
        print(f"    {task.action}")
    print()
    for row in document.wards:
        absent = row.missing if document.count.round_made else ()
        missing = f"; not located: {', '.join(absent)}" if absent else ""
        print(f"  {row.ward or 'Ward not said'}: {row.sentence}{missing}")
