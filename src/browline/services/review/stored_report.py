"""The report of a review as data: the review's document with the findings as they stand in the book."""

from typing import Any

from browline.services.book.preferences import choice
from browline.services.review.outcomes import due_day, next_step
from browline.services.review.report import Report, report_of
from browline.store.models import Finding


def report_of_review(review: Any, *, paper: str | None = None) -> Report:
    """The report of a review, dated when the review was made (so the same review prints the same bytes)."""
    return report_of(
        review.result,
        {**review.supplement, "decision": choice("decision"), "owner": choice("owner")},
        standing_findings(review),
        paper=paper or choice("paper"),
        unit=choice("show_unit"),
        made=review.at,
    )


def standing_findings(review: Any) -> list[dict[str, Any]]:
    """Findings of the book as the report takes them: the contract's document, standing, outcomes, look-back count."""
    if any(review.options.get(edge) for edge in ("since", "until")):
        return [{**finding, "state": Finding.NEW, "outcomes": []} for finding in review.result["findings"]]
    rows = Finding.objects.select_related("first_review").prefetch_related("outcomes").order_by("order", "pk")
    if not review.result.get("people"):
        rows = rows.exclude(subject_type="person")
    return [
        {
            **finding.data,
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
