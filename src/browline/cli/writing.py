"""Writing the last review for others: the report on paper, as a page, as sheets, or as the contract's JSON."""

from pathlib import Path
from typing import Any

from django.utils import timezone

from browline.documents.review import review_json
from browline.errors import NotUnderstood
from browline.paper import write_request_html, write_request_pdf
from browline.paper.html import write_html
from browline.paper.pdf import write_pdf
from browline.paper.sheets import findings_sheet, write_xlsx
from browline.paper.whole import write_whole
from browline.services.book.preferences import choice
from browline.services.imports.receipts import book_answers
from browline.services.review.report import make_request
from browline.services.review.stored_report import review_report
from browline.services.review.supplement import request_rows
from browline.store.event_log import write_event
from browline.store.models import last_whole_review

FORMATS = ("pdf", "html", "xlsx", "json")


def write_review(
    book: Any,
    suffix: str,
    *,
    path: Path | None = None,
    name: str = "",
    paper: str | None = None,
    actor: str = "educator",
    review: Any = None,
) -> Path:
    """Write a review (the last whole one) as `suffix`; into the book's reports unless a `path` is given."""
    stored_review = review or last_whole_review()
    if stored_review is None:
        raise NotUnderstood(
            "There is no review yet.", "A report shows the last review.", "Run a review first."
        )
    if suffix not in FORMATS:
        raise NotUnderstood(
            f"{suffix!r} is not a format.", f"Formats are {', '.join(FORMATS)}.", "Choose one."
        )
    target = path or book.reports / f"{name or f'review-{stored_review.pk}'}.{suffix}"
    _write(stored_review, suffix, target, paper)
    write_event(actor, "report", f"review {stored_review.pk}", {"format": suffix})
    return target


def _write(review: Any, suffix: str, target: Path, paper: str | None) -> None:
    if suffix == "json":
        write_whole(target, review_json(review.document).encode())
        return

    report = review_report(review, paper=paper)
    if suffix == "pdf":
        write_pdf(report, target)
    elif suffix == "html":
        write_html(report, target)
    else:
        write_xlsx([findings_sheet(report)], target, created=review.at)


def write_request(path: Path) -> None:
    """Write the page that asks the data team for the columns this book lacks, as PDF or (by its suffix) HTML."""
    wanting = request_rows(book_answers()["requests"])
    page = make_request(wanting, choice("hospital"), paper=choice("paper"), time=timezone.now())
    (write_request_html if path.suffix == ".html" else write_request_pdf)(page, path)
