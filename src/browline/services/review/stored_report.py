"""The report of a review as data: the review's document with the findings as they stand in the book."""

from msgspec import convert, structs

from browline.documents.finding import BookFinding, OutcomeRow
from browline.services.book.preferences import choice
from browline.services.review.outcomes import due_day, next_step
from browline.services.review.report import Report, make_report
from browline.services.review.report.document import Committee
from browline.store.models import Finding, Review


def review_report(review: Review, *, paper: str | None = None) -> Report:
    """The report of a review, dated when the review was made (so the same review prints the same bytes)."""
    return make_report(
        review.document,
        book_findings(review),
        committee=Committee(decision=choice("decision"), owner=choice("owner")),
        paper=paper or choice("paper"),
        unit=choice("show_unit"),
        time=review.at,
    )


def book_findings(review: Review) -> list[BookFinding]:
    """Findings of the book as the report takes them: the contract's document, standing, outcomes, look-back count."""
    if any(review.options.get(edge) for edge in ("since", "until")):
        return [convert(row, BookFinding, from_attributes=True) for row in review.document.findings]
    rows = Finding.objects.select_related("first_review").prefetch_related("outcomes").order_by("order", "pk")
    if not review.document.people:
        rows = rows.exclude(subject_type="person")
    return [_book_finding(finding) for finding in rows]


def _book_finding(finding: Finding) -> BookFinding:
    outcomes = finding.outcomes.order_by("pk")
    return structs.replace(
        finding.document,
        action=next_step(finding),
        by=due_day(finding).isoformat(),
        outcomes=tuple(OutcomeRow(code=o.code, at=o.at.isoformat(), note=o.note) for o in outcomes),
    )
