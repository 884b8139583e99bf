"""The invented review as reports."""

import invented_review as told
import pytest

from browline.paper import write_html, write_pdf
from documents import report_from


@pytest.fixture(scope="session")
def report():
    """The whole hospital, on A4."""
    return report_from(told.result(), told.supplement(), told.findings(), time=told.MADE)


@pytest.fixture(scope="session")
def bare_report():
    """The same hospital when the charts name neither instrument nor patient."""
    return report_from(*told.without_instruments(), time=told.MADE)


@pytest.fixture(scope="session")
def pdf_path(report, tmp_path_factory):
    """The whole hospital's report on paper."""
    return write_pdf(report, tmp_path_factory.mktemp("paper") / "report.pdf")


@pytest.fixture(scope="session")
def html_path(report, tmp_path_factory):
    """The same report as one page."""
    return write_html(report, tmp_path_factory.mktemp("page") / "report.html")
