"""Results about people: for help, never ranking.

They are shown only where the review was made with people and the reader asks for them, and withheld where
they rest on few readings.
"""

from django.db.models import QuerySet
from django.http import Http404, HttpRequest

from browline.findings import finding_kind
from browline.store.models import Finding, Review, last_whole_review

# Common practice for small cells in outputs, no source: fewer than ten are withheld.
FEWEST = 10

OPENING = finding_kind("technique-support").action
SHARED_LOG_IN = (
    "“Who charted it” may be a shared log-in or someone charting for a colleague. "
    "Make sure whose readings these are before anything else."
)


def may_show_people(review: Review | None) -> bool:
    """Whether the last review was made with people, and they look like people at all."""
    return bool(review and review.options.get("people")) and not not_listed(review)


def not_listed(review: Review | None) -> str:
    """Why nobody is listed although people were asked for; empty where there is no such reason."""
    unlike = review.document.people_not_listed if review else None
    return unlike.sentence if unlike else ""


def people_requested(request: HttpRequest) -> bool:
    """Whether this page was asked to show them."""
    return request.GET.get("people") == "1"


def visible_findings(
    findings: QuerySet[Finding], request: HttpRequest, review: Review | None
) -> QuerySet[Finding]:
    """The findings this page may show: those about people only when made, asked for, and not few."""
    if not (may_show_people(review) and people_requested(request)):
        return findings.exclude(subject_type="person")
    return findings.exclude(subject_type="person", data__n__lt=FEWEST)


def fetch_visible(findings: QuerySet[Finding], request: HttpRequest, number: int) -> Finding:
    """One finding, if this request may see it; otherwise there is no such page."""
    finding = visible_findings(findings, request, last_whole_review()).filter(pk=number).first()
    if finding is None:
        raise Http404
    return finding
