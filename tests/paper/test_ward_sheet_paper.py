"""The ward's sheet on paper: one side, tagged, the same without colour, nothing typed becomes markup."""

import pytest
from pypdf import PdfReader

import invented_wards as told
from browline.paper import write_ward_sheet
from browline.services.review.ward_sheet import CAUTION, make_sheet
from browline.services.review.wards import ward

HOSTILE = '#pagebreak() = "x" *bold* $x$'


def sheet(one, paper="a4", **changes):
    """The sheet of one ward told, in a review changed so."""
    review = told.a_review(one)
    review.supplement.update(changes)
    return make_sheet(review, ward(review, one["ward"]), paper)


def read(path):
    """The text of each page, its white space evened out."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    return write_ward_sheet(sheet(told.larch()), tmp_path_factory.mktemp("sheet") / "larch.pdf")


def test_one_side_carries_all_a_ward_needs(path):
    (page,) = read(path)
    one = sheet(told.larch())
    for text in (
        "Larch: how our temperatures are charted",
        "05 Jan 2026 to 21 Jun 2026",
        "One good thing",
        one.good,
        one.ask.question,
        one.ask.help,
        "36.0 °C was charted 240 times in 2,400",
        "unlikely to have all been measured",
        "The ordinary reasons come first",
        "The form offers this value by default",
        "Our own weeks: readings charted as 36.0 °C",
        "form changed: no default temperature",
        one.trend.said,
        one.trend.key,
        *one.answers,
        "Reviewed 29 Jun 2026. We look at the same chart again by 28 Sep 2026.",
        "Review 7, browline 0.1.0",
        CAUTION,
    ):
        assert " ".join(text.split()) in page, text


def test_the_ordinary_reasons_stand_in_the_order_to_ask_about_them(path):
    (page,) = read(path)
    places = [page.index(words) for words in ("form offers", "No instrument at hand", "Workload", "Rounding")]
    assert places == sorted(places)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("one", [told.larch, told.maple, told.rowan, told.holly])
def test_every_ward_fits_one_side(one, paper, tmp_path):
    path = write_ward_sheet(sheet(one(), paper), tmp_path / "sheet.pdf")
    (page,) = PdfReader(path).pages
    wide = {"a4": 595, "us-letter": 612}[paper]
    assert float(page.mediabox.width) == pytest.approx(wide, abs=1)
    assert CAUTION in read(path)[0]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_much_to_say_still_fits_one_side(paper, tmp_path):
    events = [
        {
            "date": f"2026-{m:02d}-{d:02d}",
            "what": "a long account of what changed on the ward " * 2,
            "ward": "",
        }
        for m in range(1, 6)
        for d in (6, 20)
    ]
    crowded = sheet(told.larch(), paper, events=events, hospital="The Invented Hospital of Ashmere " * 3)
    path = write_ward_sheet(crowded, tmp_path / "sheet.pdf")
    assert len(read(path)) == 1
    answer, dates, caution, foot = (
        height_of(path, line) for line in ("Until when", "Reviewed", "This sheet", "Review 7")
    )
    assert answer > dates + 8 and dates > caution + 8 and caution > foot + 8


def height_of(path, said):
    """How far above the lower edge a line stands that begins so, in points."""
    found = []

    def note(text, cm, tm, *_):
        if text.strip().startswith(said):
            found.append(tm[5] * cm[3] + cm[5])

    PdfReader(path).pages[0].extract_text(visitor_text=note)
    return found[0]


def test_with_nothing_seen_it_thanks_asks_to_keep_on_and_gives_no_reasons(tmp_path):
    (page,) = read(write_ward_sheet(sheet(told.maple()), tmp_path / "sheet.pdf"))
    assert "The site is charted for 98 % of 400 readings" in page
    assert "Please keep charting the site with every temperature." in page
    assert "ordinary reasons" not in page and "Why we ask" not in page


def test_with_too_few_weeks_it_says_so(tmp_path):
    (page,) = read(write_ward_sheet(sheet(told.holly()), tmp_path / "sheet.pdf"))
    assert "Too few weeks to tell whether it changes" in page and "too few readings to tell more" in page


def test_one_week_alone_is_not_drawn(tmp_path):
    lone = told.a_ward("Holly", of=told.weeks([3], n=40), quiet=False)
    path = write_ward_sheet(sheet(lone), tmp_path / "sheet.pdf")
    assert not list(tagged(PdfReader(path).trailer["/Root"]["/StructTreeRoot"], "/Figure"))


def test_what_is_typed_into_a_book_never_becomes_markup(tmp_path):
    one = told.a_ward(HOSTILE, told.spike(HOSTILE), of=told.FELL)
    event = {"date": "2026-03-03", "what": HOSTILE, "ward": ""}
    (page,) = read(write_ward_sheet(sheet(one, events=[event], hospital=HOSTILE), tmp_path / "sheet.pdf"))
    assert page.count(HOSTILE) == 3


def test_it_declares_both_standards_is_tagged_and_its_picture_has_words(path):
    """What the file claims; the typesetter checks the claim while writing. No outside validator is at hand."""
    pdf = PdfReader(path)
    claims = pdf.trailer["/Root"]["/Metadata"].get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in claims
    assert "<pdfaid:part>2</pdfaid:part>" in claims and "<pdfaid:conformance>A</pdfaid:conformance>" in claims
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert [figure["/Alt"][:30] for figure in tagged(pdf.trailer["/Root"]["/StructTreeRoot"], "/Figure")] == [
        "Share of readings charted as 3"
    ]


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


def test_the_same_sheet_gives_the_same_bytes(path, tmp_path):
    assert write_ward_sheet(sheet(told.larch()), tmp_path / "again.pdf").read_bytes() == path.read_bytes()
