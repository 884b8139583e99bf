"""Invented reviews, written as they are stored, read as the documents that services and doors take."""

from msgspec import convert

from browline.documents.finding import read_finding
from browline.documents.review import read_review
from browline.documents.supplement import Supplement
from browline.services.review.report import Report, make_report
from browline.services.review.report.document import Committee


def rows(kind: type, stored: list[dict]) -> tuple:
    """Rows of a document of this much."""
    return convert(stored, tuple[kind, ...])


def supplement_from(stored: dict) -> Supplement:
    """A supplement of this much."""
    return read_review({}, stored).supplement


def report_from(
    result: dict, supplement: dict, findings: list[dict], *, decision="", owner="", **options
) -> Report:
    """The report of a review that is stored so."""
    found = [read_finding(finding) for finding in findings]
    return make_report(
        read_review(result, supplement), found, committee=Committee(decision, owner), **options
    )
