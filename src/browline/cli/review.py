"""`browline review`: audit and fit the book, print the findings, write the report."""

import sys
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from browline.cli.arguments import check_folder, day
from browline.cli.as_json import put_text
from browline.cli.progress import bar
from browline.cli.show import show_review
from browline.cli.writing import write_review
from browline.documents.review import review_json
from browline.services.review.run import review as carry_out
from browline.store.book import default_folder, existing_book, open_book


def review(
    *,
    book: Path | None = None,
    since: str | None = None,
    until: str | None = None,
    people: bool = False,
    json_to: Annotated[str | None, Parameter(name="--json", allow_leading_hyphen=True)] = None,
    pdf: Path | None = None,
    html: Path | None = None,
) -> None:
    """Say which instruments, techniques, wards and values cannot be trusted, how sure, since when and why.

    Parameters
    ----------
    book
        the book's folder.
    since
        first day to look at, as 2026-03-01.
    until
        last day to look at.
    people
        also by person, to offer help; never for ranking.
    json_to
        write the review as JSON to this file, or - for standard output.
    pdf
        write the report here.
    html
        write the report here as one page that opens on any computer.
    """
    for path in (pdf, html, Path(json_to) if json_to not in (None, "-") else None):
        check_folder(path)
    opened = open_book(existing_book(book or default_folder()))
    with bar("Review") as tell:
        new_review = carry_out(opened, since=day(since), until=day(until), people=people, progress=tell)
    if json_to != "-":
        show_review(new_review)
    if json_to:
        put_text(json_to, review_json(new_review.document))
    _write_reports(opened, new_review, pdf, html)


def _write_reports(opened: object, new_review: object, *paths: Path | None) -> None:
    for path in paths:
        if path is not None:
            write_review(opened, path.suffix.lstrip(".") or "pdf", path=path, review=new_review)
            print(f"wrote {path}", file=sys.stderr)
