"""What a review found, and what came of each finding."""

from functools import cached_property
from typing import Self

from django.db import models

from browline.documents.finding import BookFinding, read_finding
from browline.documents.review import ReviewDocument, read_review
from browline.findings import OUTCOMES


class Review(models.Model):
    """One review of the book: its options and its result as the contract writes it.

    `supplement` holds what the pages need beyond the contract (monthly series, exclusions, versions). Both are read
    as one `document`.
    """

    at = models.DateTimeField(auto_now_add=True)
    options = models.JSONField(default=dict)
    result = models.JSONField(default=dict)
    supplement = models.JSONField(default=dict)
    version = models.CharField(max_length=20)

    class Meta:
        ordering = ["-id"]

    @cached_property
    def document(self) -> ReviewDocument:
        """The review as every door reads it, whichever version made it."""
        return read_review(self.result, self.supplement)

    @property
    def charted_units(self) -> dict[str, str]:
        """The unit (C or F) that each instrument's charted numbers come from; those that cannot tell are left out."""
        audit = self.document.supplement.audit
        patterns = audit.units if audit else ()
        return {p.subject: p.shows for p in patterns if p.type == "instrument" and p.shows in ("C", "F")}


def last_whole_review() -> "Review | None":
    """The last review that looked at every day; one narrowed to some days does not speak for the book."""
    return next(
        (r for r in Review.objects.all() if not (r.options.get("since") or r.options.get("until"))), None
    )


class FindingRows(models.QuerySet["Finding"]):
    """Findings of all reviews."""

    def open(self) -> Self:
        """Those about which something is still to be done."""
        return self.filter(state__in=Finding.OPEN)


class Finding(models.Model):
    """A finding kept across reviews: new, still there, gone, closed by an outcome, or withdrawn with its reason.

    `data["withdrawn"]` holds the reason and when; a finding that a later review makes again is new.
    """

    NEW, STILL, GONE, CLOSED, WITHDRAWN = "new", "still there", "gone", "closed", "withdrawn"
    OPEN = (NEW, STILL)

    key = models.CharField(max_length=250, unique=True)
    kind = models.CharField(max_length=30)
    subject_type = models.CharField(max_length=20)
    subject_id = models.CharField(max_length=120)
    state = models.CharField(max_length=12, default=NEW)
    data = models.JSONField(default=dict)
    first_review = models.ForeignKey(Review, on_delete=models.PROTECT, related_name="first_findings")
    last_review = models.ForeignKey(Review, on_delete=models.PROTECT, related_name="last_findings")
    order = models.IntegerField(default=0)

    objects = FindingRows.as_manager()

    class Meta:
        ordering = ["order", "id"]

    @cached_property
    def document(self) -> BookFinding:
        """The finding as every door reads it; next step, due day and outcomes are the services' to add."""
        return read_finding({**self.data, "state": self.state, "withdrawn": self.withdrawn})

    @property
    def open(self) -> bool:
        """Whether something is still to be done about it."""
        return self.state in self.OPEN

    @property
    def withdrawn(self) -> str:
        """Why it was withdrawn; empty where it was not."""
        return str(self.data.get("withdrawn", {}).get("reason", "")) if self.state == self.WITHDRAWN else ""


class Outcome(models.Model):
    """What a check of a finding showed; a row is never changed, a later one stands beside it."""

    finding = models.ForeignKey(Finding, on_delete=models.CASCADE, related_name="outcomes")
    code = models.CharField(max_length=20, choices=list(OUTCOMES.items()))
    note = models.CharField(max_length=400, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["-id"]
