"""Cards, poster and sheets on paper: pages as promised, tagged, marked where not in force, nothing becomes markup."""

import copy
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from pypdf import PdfReader

from browline.controlled import checked
from browline.paper import write_hand_out
from browline.paper.hand_out import CAUTION
from browline.quantities.both_units import both_units
from browline.services.materials import documents
from browline.services.materials.handouts.cards import HAND_OUTS, LARGE, PAPERS, HandedOut
from browline.site_choice import ESCALATE

NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
HOSTILE = '#pagebreak() = "x" *bold* $x$'
# Sizes of sheets in points: ISO 216 and ANSI/ASME Y14.1, from memory, sure.
WIDTHS = {"a4": 595, "us-letter": 612, "a3": 842, "us-tabloid": 792}
# Landscape: the width is the long side.
LANDSCAPE = {"a4": 842, "us-letter": 792}


def handed(name, paper="a4", *, approved=True, **changes):
    """A hand-out as it comes with the program, approved unless said otherwise."""
    one = HAND_OUTS[name]
    body = _default(one.kind)
    facts = {
        "owner": "Ines Quill", "source": "instructions of model A, issue 4", "approved": date(2026, 10, 1),
        "expires": date(2027, 10, 1), "standing": "in force until 01 Oct 2027", "mark": "",
    }  # fmt: skip
    draft = {
        "owner": "", "source": "", "approved": None, "expires": None, "standing": "DRAFT", "mark": "DRAFT",
    }  # fmt: skip
    made = HandedOut(
        hand_out=one, body=_shown(body), version=3, fever_c=38.0, unit="C", made=NOW,
        hospital="Fenwick Vale Hospital", paper=paper, **(facts if approved else draft),
    )  # fmt: skip
    return replace(made, **changes)


def _default(kind):
    return checked(documents.layout(kind), documents._module(kind).default())


def _shown(part, unit="C"):
    if isinstance(part, str):
        return both_units(part, unit, fever_c=38.0)
    if isinstance(part, dict):
        return {key: _shown(value, unit) for key, value in part.items()}
    return [_shown(one, unit) for one in part] if isinstance(part, list) else part


def read(path):
    """The text of each page, its white space evened out and its broken words mended."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """Every hand-out, on A4, approved."""
    folder = tmp_path_factory.mktemp("handed")
    return {name: write_hand_out(handed(name), folder / f"{name}.pdf") for name in HAND_OUTS}


@pytest.mark.parametrize("name", HAND_OUTS)
def test_it_declares_both_standards_and_is_tagged(written, name):
    """What the file claims; the typesetter checks the claim while writing. No outside validator is at hand."""
    pdf = PdfReader(written[name])
    claims = pdf.trailer["/Root"]["/Metadata"].get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in claims
    assert "<pdfaid:part>2</pdfaid:part>" in claims and "<pdfaid:conformance>A</pdfaid:conformance>" in claims
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]


@pytest.mark.parametrize("name", HAND_OUTS)
def test_owner_source_approval_expiry_version_and_hospital_are_printed(written, name):
    said = " ".join(read(written[name]))
    for fact in (
        "Version 3", "Owner: Ines Quill", "Source: instructions of model A, issue 4", "Approved: 01 Oct 2026",
        "Expires: 01 Oct 2027", "in force until 01 Oct 2027", "Fenwick Vale Hospital",
    ):  # fmt: skip
        assert fact in said, fact
    assert "DRAFT" not in said


@pytest.mark.parametrize("name", [name for name in HAND_OUTS if name != "pocket-card"])
def test_the_caution_is_printed(written, name):
    assert CAUTION in " ".join(read(written[name]))


@pytest.mark.parametrize("name, paper", [(n, p) for n, one in HAND_OUTS.items() for p in one.papers])
def test_a_draft_says_so_across_every_page_on_every_paper(name, paper, tmp_path):
    path = write_hand_out(handed(name, paper, approved=False), tmp_path / "draft.pdf")
    pages = read(path)
    assert all(page.count("DRAFT") >= 2 for page in pages)
    assert "Owner: not filled" in " ".join(pages)
    widths = LANDSCAPE if name == "teach-back" else WIDTHS
    for page in PdfReader(path).pages:
        assert float(page.mediabox.width) == pytest.approx(widths[paper], abs=1)


def test_an_expired_card_says_so_across_each_of_the_eight(tmp_path):
    gone = handed("pocket-card", mark="EXPIRED", standing="EXPIRED 01 Oct 2026")
    (page,) = read(write_hand_out(gone, tmp_path / "old.pdf"))
    assert page.count("EXPIRED") == 2 * 8 + 1


@pytest.mark.parametrize("paper", PAPERS)
def test_eight_cards_share_one_page_each_with_all_its_lines(paper, tmp_path):
    card = handed("pocket-card", paper)
    (page,) = read(write_hand_out(card, tmp_path / "card.pdf"))
    assert page.count("Forehead scan") == 8
    for row in card.body["rows"]:
        assert page.count(" ".join(row["says"].split())) == 8, row["says"]
    # 38.0 °C is 100.4 °F, a difference of 0.5 °C is 0.9 °F: definition of the scales.
    assert page.count("≥ 38.0 °C (100.4 °F)") == 8 and page.count("0.5 °C (0.9 °F)") == 8
    assert page.count("Looks ill: escalate, whatever the number.") == 8


def test_a_card_is_read_out_once_not_eight_times(written):
    """The other seven are for the eye: their marks are artifacts, outside the tree that is read out."""
    pdf = PdfReader(written["pocket-card"])
    steps = [node for node in _nodes(pdf.trailer["/Root"]["/StructTreeRoot"]) if node.get("/S") == "/LI"]
    assert len(steps) == len([r for r in handed("pocket-card").body["rows"] if r["part"] != "fever"])


def _nodes(node):
    node = node.get_object()
    if isinstance(node, list):
        for part in node:
            yield from _nodes(part)
    elif isinstance(node, dict):
        yield node
        if "/K" in node:
            yield from _nodes(node["/K"])


def _wordier(times):
    body = copy.deepcopy(handed("pocket-card").body)
    for row in body["rows"]:
        row["says"] = f"{row['says']} " + "and a little more than that " * times
    return body


def test_a_card_with_more_words_is_still_eight_on_a_page(tmp_path):
    (page,) = read(write_hand_out(handed("pocket-card", body=_wordier(1)), tmp_path / "card.pdf"))
    assert page.count("Forehead scan") == 8


def test_a_card_too_wordy_to_be_read_at_eight_is_set_four_on_a_page(tmp_path):
    (page,) = read(write_hand_out(handed("pocket-card", body=_wordier(3)), tmp_path / "card.pdf"))
    assert page.count("Forehead scan") == 4


@pytest.mark.parametrize("paper", [*PAPERS, *LARGE])
def test_the_poster_is_one_page_with_every_line(paper, tmp_path):
    poster = handed("poster", paper)
    (page,) = read(write_hand_out(poster, tmp_path / "poster.pdf"))
    for row in poster.body["rows"]:
        assert " ".join(row["says"].split()) in page, row["says"]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_teach_back_sheet_is_one_page_with_every_error_and_its_words(paper, tmp_path):
    sheet = handed("teach-back", paper)
    (page,) = read(write_hand_out(sheet, tmp_path / "sheet.pdf"))
    for row in sheet.body["rows"]:
        assert row["error"] in page and row["words"] in page, row["id"]
    assert "names stay off it" in page


@pytest.mark.parametrize("unit", ["C", "F"])
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("approved", [True, False])
def test_the_site_card_is_one_sheet_with_escalation_first_and_every_rule(paper, approved, unit, tmp_path):
    card = handed("site-card", paper, approved=approved)
    card = replace(card, body=_shown(_default("site-and-cover"), unit))
    pages = read(write_hand_out(card, tmp_path / "card.pdf"))
    assert len(pages) == 2
    assert pages[0].index(ESCALATE) < pages[0].index("Take the first line that fits")
    assert pages[0].index("Fever in neutropenia is an emergency") < pages[0].index(
        "Take the first line that fits"
    )
    doing = " ".join(pages)
    for row in card.body["rows"]:
        assert row["says"] in doing, row["id"]


def test_the_reasons_of_the_site_card_are_a_hand_out_of_their_own(written):
    card, said = " ".join(read(written["site-card"])), "".join(read(written["site-card-reasons"]))
    said = "".join(said.split())
    for row in handed("site-card-reasons").body["rows"]:
        for part in ("says", "why", "source", "published"):
            assert "".join(row[part].split()) in said, (row["id"], part)
    assert "Geijer" not in card and "no source" not in card
    assert "frommemory" not in said and "sure" not in said.replace("measure", "").replace("unsure", "")


def test_the_questions_carry_trade_and_published_side_by_side(written):
    said = " ".join(read(written["questions"]))
    for row in handed("questions").body["rows"]:
        for part in ("question", "answer", "trade", "published", "apart"):
            assert row[part] in said, (row["id"], part)
    assert "(common practice, no source)" in said


@pytest.mark.parametrize("name", HAND_OUTS)
def test_what_is_typed_into_a_document_never_becomes_markup(name, tmp_path):
    body = copy.deepcopy(handed(name).body)
    field = {"teach-back": "words", "questions": "answer"}.get(name, "says")
    body["rows"][0][field] = HOSTILE
    path = write_hand_out(handed(name, body=body, hospital=HOSTILE), tmp_path / "typed.pdf")
    assert " ".join(read(path)).count(HOSTILE) >= 2


@pytest.mark.parametrize("name", HAND_OUTS)
def test_the_same_hand_out_gives_the_same_bytes(written, name, tmp_path):
    assert write_hand_out(handed(name), tmp_path / "again.pdf").read_bytes() == written[name].read_bytes()


@pytest.mark.parametrize("name", HAND_OUTS)
def test_nothing_is_told_by_colour(name, written):
    """Every colour set on the pages is a grey, or so near to one that a printer without colour loses nothing."""
    import re

    for page in PdfReader(written[name]).pages:
        for found in re.findall(
            r"([\d.]+) ([\d.]+) ([\d.]+) (?:scn|SCN|rg|RG)\b",
            page.get_contents().get_data().decode("latin-1"),
        ):
            parts = [float(part) for part in found]
            assert max(parts) - min(parts) < 0.08, found
