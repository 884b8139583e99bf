"""The report of a review as data: the review's document with the findings as they stand in the book."""

from browline.services.book.preferences import choice
from browline.services.review.outcomes import due_day, next_step
from browline.services.review.report import Report, report_of
from browline.services.review.rows import FindingRow, document_of
from browline.services.review.supplement_rows import supplement_in
from browline.store.models import Finding, Review


def report_of_review(review: Review, *, paper: str | None = None) -> Report:
    """The report of a review, dated when the review was made (so the same review prints the same bytes)."""
    return report_of(
        document_of(review),
        {**supplement_in(review), "decision": choice("decision"), "owner": choice("owner")},
        standing_findings(review),
        paper=paper or choice("paper"),
        unit=choice("show_unit"),
        made=review.at,
    )


def _kept(finding: Finding) -> FindingRow:
    data: FindingRow = finding.data
    return data


def standing_findings(review: Review) -> list[FindingRow]:
    """Findings of the book as the report takes them: the contract's document, standing, outcomes, look-back count."""
    if any(review.options.get(edge) for edge in ("since", "until")):
        return [
            {**finding, "state": Finding.NEW, "outcomes": []} for finding in document_of(review)["findings"]
        ]
    rows = Finding.objects.select_related("first_review").prefetch_related("outcomes").order_by("order", "pk")
    if not review.result.get("people"):
        rows = rows.exclude(subject_type="person")
    return [
        {
            **_kept(finding),
            "state": finding.state,
            "action": next_step(finding),
            "by": due_day(finding).isoformat(),
            "withdrawn": finding.withdrawn,
            "outcomes": [
                {"code": o.code, "at": o.at.isoformat(), "note": o.note}
                for o in finding.outcomes.order_by("pk")
            ],
        }
        for finding in rows
    ]
