"""The report as data: what a review found, in the order a committee and a ward need it.

    report_of(result, supplement, findings, made=...) -> Report
    request_of(supplement, made=...)                  -> Request, the page for the data team

Pure: from plain dicts to frozen data. `browline.paper` turns it into PDF, HTML and spreadsheets.
"""

from collections.abc import Sequence
from datetime import datetime

from browline import display
from browline.services.review.report.document import Report, Request
from browline.services.review.report.first_page import first_page
from browline.services.review.report.instruments import instrument_sections
from browline.services.review.report.measured import measured_sections
from browline.services.review.report.method import answered_sections, closing_sections, withdrawn_sections
from browline.services.review.report.people import people_sections
from browline.services.review.report.places import practice_sections, ward_sections
from browline.services.review.report.sites import site_sections
from browline.services.review.report.training import training_sections
from browline.services.review.rows import Document, FindingRow
from browline.services.review.supplement_rows import Supplement

__all__ = ["Report", "Request", "report_of", "request_of"]


def report_of(
    result: Document,
    supplement: Supplement,
    findings: Sequence[FindingRow],
    *,
    paper: str = "a4",
    unit: str = "C",
    made: datetime,
) -> Report:
    """The report of one review.

    - `result`: the review as the contract writes it; `supplement`: series, exclusions, versions.
    - `findings`: each as the contract writes it, with `state` and `outcomes` (`code`, `at`, `note`).
    - `paper`: a4 or us-letter; `unit`: C or F; `made`: with its time zone, printed and stamped.
    """
    sections = [
        *instrument_sections(result, supplement, findings, unit),
        *ward_sections(result, supplement, findings, unit),
        *measured_sections(supplement),
        *practice_sections(findings),
        *site_sections(result, supplement, unit),
        *training_sections(result, supplement, unit),
        *answered_sections(findings),
        *withdrawn_sections(findings),
        *people_sections(result, findings, unit),
        *closing_sections(result, supplement, unit),
    ]
    return Report(
        hospital=str(supplement.get("hospital") or ""),
        period=_period(result, supplement),
        made=made,
        paper="us-letter" if paper in ("letter", "us-letter") else "a4",
        unit=unit,
        first=first_page(result, supplement, findings, unit, made),
        sections=tuple(sections),
        findings=tuple(findings),
    )


def request_of(supplement: Supplement, *, paper: str = "a4", made: datetime) -> Request:
    """The one page that asks the data team for the columns the export lacks."""
    columns = tuple((str(r["column"]), str(r["why"])) for r in supplement.get("requests") or [])
    hospital = str(supplement.get("hospital") or "")
    return Request(hospital, made, "us-letter" if paper in ("letter", "us-letter") else "a4", columns)


def _period(result: Document, supplement: Supplement) -> str:
    first, last = supplement.get("days") or (None, None)
    if first and last:
        return f"{display.day(first)} to {display.day(last)}"
    readings = result.get("readings")
    begin, end = (readings.get("from"), readings.get("until")) if readings else (None, None)
    return f"{display.day(begin)} to {display.day(end)}" if begin and end else ""
