"""The report as data: what a review found, in the order a committee and a ward need it.

    make_report(document, findings, time=...)        -> Report
    make_request(requests, hospital, time=...)       -> Request, the page for the data team

Pure: from documents to frozen data. `browline.paper` turns it into PDF, HTML and spreadsheets.
"""

from collections.abc import Sequence
from datetime import datetime

from browline import display
from browline.documents.finding import BookFinding
from browline.documents.review import ReviewDocument
from browline.documents.supplement import RequestRow
from browline.services.review.report.document import UNDECIDED, Committee, Report, Request
from browline.services.review.report.first_page import first_page
from browline.services.review.report.instruments import instrument_sections
from browline.services.review.report.measured import measured_sections
from browline.services.review.report.method import answered_sections, closing_sections, withdrawn_sections
from browline.services.review.report.people import people_sections
from browline.services.review.report.places import practice_sections, ward_sections
from browline.services.review.report.sites import site_sections
from browline.services.review.report.training import training_sections

__all__ = ["Report", "Request", "make_report", "make_request"]


def make_report(
    document: ReviewDocument,
    findings: Sequence[BookFinding],
    *,
    committee: Committee = UNDECIDED,
    paper: str = "a4",
    unit: str = "C",
    time: datetime,
) -> Report:
    """The report of one review.

    - `findings`: each as the book has it; `committee`: what it is asked to decide, and who owns the actions.
    - `paper`: a4 or us-letter; `unit`: C or F; `time`: with its zone, printed and stamped.
    """
    sections = [
        *instrument_sections(document, findings, unit),
        *ward_sections(document, findings, unit),
        *measured_sections(document.supplement),
        *practice_sections(findings),
        *site_sections(document, unit),
        *training_sections(document, unit),
        *answered_sections(findings),
        *withdrawn_sections(findings),
        *people_sections(document, findings, unit),
        *closing_sections(document, unit),
    ]
    return Report(
        hospital=document.supplement.hospital,
        period=_period(document),
        made=time,
        paper="us-letter" if paper in ("letter", "us-letter") else "a4",
        unit=unit,
        first=first_page(document, findings, unit, time, committee),
        sections=tuple(sections),
        findings=tuple(findings),
    )


def make_request(
    requests: Sequence[RequestRow], hospital: str, *, paper: str = "a4", time: datetime
) -> Request:
    """The one page that asks the data team for the columns the export lacks."""
    columns = tuple((r.column, r.why) for r in requests)
    return Request(hospital, time, "us-letter" if paper in ("letter", "us-letter") else "a4", columns)


def _period(document: ReviewDocument) -> str:
    first, last = document.supplement.days or (None, None)
    if first and last:
        return f"{display.day(first)} to {display.day(last)}"
    begin, end = document.readings.first, document.readings.until
    return f"{display.day(begin)} to {display.day(end)}" if begin and end else ""
