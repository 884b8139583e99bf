"""`browline ward-sheet`: one side of paper for a ward."""

import sys
from pathlib import Path

from browline.cli.arguments import check_folder
from browline.paper import write_ward_sheet
from browline.services.review.ward_sheet import ward_sheet as sheet_for
from browline.store.book import default_folder, existing_book, open_book
from browline.store.models import last_whole_review


def ward_sheet(ward: str, *, pdf: Path, book: Path | None = None) -> None:
    """Write a ward's own sheet from the last review: its trend, one good thing, one ask, and room to answer.

    Parameters
    ----------
    ward
        the ward, as the charts name it.
    pdf
        write the sheet here.
    book
        the book's folder.
    """
    check_folder(pdf)
    open_book(existing_book(book or default_folder()))

    sheet = sheet_for(last_whole_review(), ward)
    write_ward_sheet(sheet, pdf)
    print(f"One good thing: {sheet.good}\nOne ask: {sheet.ask.question}")
    print(f"wrote {pdf}", file=sys.stderr)
