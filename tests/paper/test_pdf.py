"""The report on paper: page 1 is one page, says what it must, and nothing typed into a book becomes markup."""

from dataclasses import replace

import invented_review as told
import pytest
from pypdf import PdfReader

from browline.paper import write_pdf, write_request_pdf
from browline.services.review.report import make_request
from browline.services.review.report.document import CAUTION
from documents import report_from, supplement_from

HOSTILE = '#pagebreak() = "x"'


def read(path) -> list[str]:
    """The text of each page, its white space evened out."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.fixture(scope="module")
def pages(pdf_path):
    return read(pdf_path)


def test_page_1_carries_all_that_a_committee_needs(pages, report):
    first = report.first
    said = [first.headline, first.decision, CAUTION, *first.cannot_say]
    said += [part for n in first.numbers for part in (n.value, n.label, n.interval, n.basis)]
    said += [part for a in first.actions for part in (a.what, "02 Dec 2026")]
    for text in said:
        assert " ".join(text.split()) in pages[0]


def test_page_1_prints_every_denominator_and_event(pages):
    for month in told.months():
        assert f"{month['readings']:,}" in pages[0]
    assert "A · 01 Jul 2026: chart form changed: site is now a required field" in pages[0]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_page_1_is_one_page(paper, tmp_path):
    report = report_from(told.result(), told.supplement(), told.findings(), time=told.MADE, paper=paper)
    pages = read(write_pdf(report, tmp_path / "report.pdf"))
    assert CAUTION in pages[0]
    assert pages[1].startswith("Instruments to check")


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_page_1_stays_one_page_when_there_is_much_to_say(paper, tmp_path):
    supplement = told.supplement()
    decision = "Release money for spares and name one person on each ward. " * 12
    supplement["hospital"] = "The Very Long Name of an Invented Hospital of Ashmere and Surroundings " * 2
    supplement["cannot_answer"] = [
        f"Question {i} cannot be answered, because a column is missing. " * 4 for i in range(6)
    ]
    supplement["events"] = [
        {"date": f"2026-{m:02d}-10", "what": "something changed " * 6, "ward": ""} for m in range(1, 11)
    ]
    findings = [told.off_instrument(f"FS-{i + 1000}", -0.4) for i in range(30)] + told.findings()
    report = report_from(told.result(), supplement, findings, decision=decision, time=told.MADE, paper=paper)
    path = write_pdf(report, tmp_path / "report.pdf")
    pages = read(path)
    assert CAUTION in pages[0]
    assert pages[1].startswith("Instruments to check")
    lines = ("Ask the data team", "This report", "page 1 of")
    last_action, caution, foot = (height_of(path, line) for line in lines)
    assert last_action > caution + 8
    assert caution > foot + 8


def height_of(path, said: str) -> float:
    """How far above the lower edge of page 1 a line stands that begins so, in points."""
    found = []

    def note(text, cm, tm, *_):
        if text.strip().startswith(said):
            found.append(tm[5] * cm[3] + cm[5])

    PdfReader(path).pages[0].extract_text(visitor_text=note)
    return found[0]


def test_the_limits_method_and_exclusions_are_printed(pages):
    text = " ".join(pages)
    for said in told.result()["limits"]:
        assert said in text
    assert "Implausible for a living patient: set aside. 237" in text
    assert "Wilson interval" in text
    assert f"{told.TOTAL + 400 + 963:,}" in text


def test_without_instruments_it_is_still_a_report(bare_report, tmp_path):
    pages = read(write_pdf(bare_report, tmp_path / "report.pdf"))
    assert "which instruments they came from is not charted" in pages[0]
    assert "The charts do not say which instrument took a reading" in " ".join(pages)


def test_it_declares_both_standards_and_is_tagged(pdf_path):
    """What the file claims; the typesetter checks the claim while writing. No outside validator is at hand."""
    pdf = PdfReader(pdf_path)
    claims = pdf.trailer["/Root"]["/Metadata"].get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in claims
    assert "<pdfaid:part>2</pdfaid:part>" in claims
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in claims
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert str(pdf.trailer["/Root"]["/Lang"]).startswith("en")


def test_every_picture_has_words_in_its_place(pdf_path):
    pdf = PdfReader(pdf_path)
    figures = list(tagged(pdf.trailer["/Root"]["/StructTreeRoot"], "/Figure"))
    charts = 1 + len(told.OFF) + 1 + len(told.WARDS)
    assert len(figures) == charts
    assert all(len(figure["/Alt"]) > 40 for figure in figures)


def tagged(node, tag):
    """Every structure element of one tag."""
    node = node.get_object()
    if isinstance(node, list):
        for part in node:
            yield from tagged(part, tag)
    elif isinstance(node, dict):
        if node.get("/S") == tag:
            yield node
        if "/K" in node:
            yield from tagged(node["/K"], tag)


def test_only_the_shipped_typeface_is_used(pdf_path):
    pdf = PdfReader(pdf_path)
    fonts = {
        str(f.get_object()["/BaseFont"]) for p in pdf.pages for f in p["/Resources"].get("/Font", {}).values()
    }
    assert fonts
    assert all("SourceSansPro" in name for name in fonts)


def test_the_same_report_gives_the_same_bytes(pdf_path, report, tmp_path):
    assert write_pdf(report, tmp_path / "again.pdf").read_bytes() == pdf_path.read_bytes()
    assert PdfReader(pdf_path).metadata.creation_date == told.MADE


def renamed(name: str):
    """The review with one ward of another name, wherever a ward is named."""
    result, supplement, findings = told.result(), told.supplement(), told.findings()
    result["wards"][1]["ward"] = name
    supplement["weeks"]["ward"] = {name: told.weeks(0.0, 0, 1)}
    supplement["events"].append({"date": "2026-08-01", "what": name, "ward": name})
    findings[7]["subject"]["id"] = name
    return result, supplement, findings


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    """What paper says when that ward has a plain name."""
    path = tmp_path_factory.mktemp("plain") / "plain.pdf"
    return read(write_pdf(report_from(*renamed("Birch"), time=told.MADE), path))


@pytest.mark.parametrize("name", [HOSTILE, "*bold* $x$ `code` @cite <label>", r"\u{41} \\", "[#sys.inputs]"])
def test_what_is_typed_into_a_book_never_becomes_markup(name, plain, tmp_path):
    pages = read(write_pdf(report_from(*renamed(name), time=told.MADE), tmp_path / "report.pdf"))
    assert len(pages) == len(plain)
    assert name in pages[0]
    assert sum(page.count(name) for page in pages) == sum(page.count("Birch") for page in plain)


def test_a_name_the_typeface_cannot_show_is_marked_and_explained(tmp_path):
    pages = read(write_pdf(report_from(*renamed("小児科\x07"), time=told.MADE), tmp_path / "report.pdf"))
    assert "◊◊◊" in pages[0]
    assert "a character this paper cannot print" in pages[0]


def test_a_failed_writing_leaves_what_was_there(report, tmp_path, monkeypatch):
    path = tmp_path / "report.pdf"
    path.write_bytes(b"yesterday's")
    monkeypatch.setattr("browline.paper.whole.os.replace", lambda *_: (_ for _ in ()).throw(OSError("full")))
    with pytest.raises(OSError, match="full"):
        write_pdf(report, path)
    assert path.read_bytes() == b"yesterday's"
    assert list(tmp_path.iterdir()) == [path]


def test_a_person_is_never_on_page_1(tmp_path):
    person = {"person": "N-118", "n": 210, "comparator": "", "offset_c": -0.4, "low_c": -0.5, "high_c": -0.3}
    finding = told.finding(
        "technique-support", "person", "N-118", -0.4, 210, "N-118 reads low.", "Offer an observed scan."
    )
    report = report_from(
        {**told.result(), "people": [person]}, told.supplement(), [finding, *told.findings()], time=told.MADE
    )
    pages = read(write_pdf(replace(report, paper="us-letter"), tmp_path / "report.pdf"))
    assert "N-118" not in pages[0]
    theirs = next(page for page in pages if "N-118" in page)
    assert theirs.startswith("Help with technique Offer an observed return demonstration.")


def test_the_request_is_one_page(tmp_path):
    _, extra, _ = told.without_instruments()
    request = make_request(supplement_from(extra).requests, "", time=told.MADE)
    pages = read(write_request_pdf(request, tmp_path / "request.pdf"))
    assert len(pages) == 1
    for said in ("instrument", "which thermometer (asset or serial number)", extra["requests"][0]["why"]):
        assert said in pages[0]
