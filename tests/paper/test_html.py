"""The report as one page: nothing fetched, nothing run, everything said escaped."""

import re
import shutil
from html.parser import HTMLParser

import invented_review as told
import pytest

from browline.documents.supplement import WeekRow
from browline.figures import weekly_chart
from browline.paper import write_html, write_request_html
from browline.services.review.report import make_request
from browline.services.review.report.document import CAUTION
from documents import report_from, rows, supplement_from

HOSTILE = "<script>alert(1)</script><img src=x onerror=alert(2)>{{ first }}"


class Elements(HTMLParser):
    """Every element with its attributes, and every text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict]] = []
        self.texts: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data):
        self.texts.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.texts).split())


@pytest.fixture(scope="module")
def page(html_path):
    return html_path.read_text(encoding="utf-8")


def test_nothing_is_fetched_and_nothing_is_run(page):
    for tag, attributes in Elements(page).elements:
        assert tag not in ("script", "iframe", "object", "embed", "link", "base", "form", "a", "img")
        for name, value in attributes.items():
            assert name not in ("src", "href", "xlink:href", "srcset", "action", "style")
            assert not name.startswith("on")
            assert name == "xmlns" or not re.search(r"https?:|//\w", value or "")
    assert set(re.findall(r"url\((.{5})", page.split("</style>")[0])) == {"data:"}
    assert "@import" not in page


def test_it_says_what_the_paper_says(page, report):
    text = Elements(page).text
    first = report.first
    for said in (
        first.headline,
        first.decision,
        CAUTION,
        *first.cannot_say,
        *(a.what for a in first.actions),
    ):
        assert said in text
    for title in (s.title for s in report.sections):
        assert title in text
    for number in first.numbers:
        assert number.value in text
        assert number.basis in text


def test_each_chart_has_its_sentence_and_its_table(page):
    figures = page.split("<figure>")[1:]
    assert len(figures) == 1 + len(told.OFF) + 1 + len(told.WARDS)
    for figure in figures:
        assert '<svg xmlns="http://www.w3.org/2000/svg"' in figure
        assert re.search(r"<figcaption>.+</figcaption>", figure)
        assert "<table>" in figure


def test_what_is_typed_into_a_book_is_shown_and_never_run(tmp_path):
    result, supplement, findings = told.result(), told.supplement(), told.findings()
    result["wards"][1]["ward"] = HOSTILE
    supplement["weeks"]["ward"] = {HOSTILE: told.weeks(0.0, 0, 1)}
    supplement["hospital"] = HOSTILE
    supplement["events"].append({"date": "2026-08-01", "what": HOSTILE, "ward": ""})
    report = report_from(result, supplement, findings, time=told.MADE)
    parsed = Elements(write_html(report, tmp_path / "report.html").read_text(encoding="utf-8"))
    assert {"script", "img"} & {tag for tag, _ in parsed.elements} == set()
    assert parsed.text.count(HOSTILE) >= 5


def test_a_name_in_any_script_is_shown(tmp_path):
    supplement = {**told.supplement(), "hospital": "小児科 \ud800"}
    report = report_from(told.result(), supplement, [], time=told.MADE)
    assert "小児科 ?" in write_html(report, tmp_path / "report.html").read_text(encoding="utf-8")


def test_the_request_page_names_the_columns(tmp_path):
    _, extra, _ = told.without_instruments()
    request = make_request(supplement_from(extra).requests, "", time=told.MADE)
    path = write_request_html(request, tmp_path / "request.html")
    text = Elements(path.read_text(encoding="utf-8")).text
    assert "instrument which thermometer (asset or serial number)" in text


@pytest.fixture
def browser():
    playwright = pytest.importorskip("playwright.sync_api")
    with playwright.sync_playwright() as p:
        path = shutil.which("chromium") or shutil.which("chromium-browser")
        if path is None:
            pytest.skip("Chromium is not installed here")
        opened = p.chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-background-networking"]
        )
        yield opened
        opened.close()


@pytest.mark.browser
def test_a_browser_fetches_nothing_complains_of_nothing_and_needs_no_sideways_scrolling(html_path, browser):
    from axe_playwright_python.sync_playwright import Axe

    page = browser.new_page(viewport={"width": 360, "height": 700})
    asked, complaints = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(html_path.as_uri())
    assert [url for url in asked if not url.startswith("data:")] == [html_path.as_uri()]
    assert complaints == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    violations = Axe().run(page).response["violations"]
    assert [(v["id"], v["nodes"][0]["html"][:120]) for v in violations] == []


@pytest.mark.browser
def test_a_drawing_stands_inline_under_the_policy_of_our_pages(browser):
    svg = weekly_chart(rows(WeekRow, told.weeks(-0.4, 21, 1)), "FS-07", "2026-06-01", 0.3).svg
    policy = "default-src 'none'; style-src 'self'"
    page = browser.new_page()
    complaints = []
    page.on("console", lambda message: complaints.append(message.text))
    page.route(
        "**/*",
        lambda route: (
            route.fulfill(
                body=f"<!doctype html><title>x</title>{svg}",
                headers={"Content-Security-Policy": policy, "Content-Type": "text/html; charset=utf-8"},
            )
            if route.request.url.endswith("/page")
            else route.fulfill(status=204)
        ),
    )
    page.goto("http://127.0.0.1:9/page")
    assert page.locator("svg").bounding_box()["width"] > 500
    assert [c for c in complaints if "Content Security Policy" in c] == []
