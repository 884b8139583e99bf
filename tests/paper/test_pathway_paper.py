"""The pathway on paper: one side, escalation first, every line, every source, on both papers."""

import pytest
from pypdf import PdfReader
from test_handouts_paper import WIDTHS, handed, read

from browline.materials.pathway import CHART
from browline.materials.pathway_lines import TRADE
from browline.paper import write_hand_out
from browline.services.materials.handouts.cards import PAPERS
from browline.site_choice import ESCALATE


def one_line(text):
    return "".join(text.split())


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("approved", [True, False])
def test_it_is_one_side_with_escalation_first_and_every_line(paper, approved, tmp_path):
    sheet = handed("pathway", paper, approved=approved)
    path = write_hand_out(sheet, tmp_path / "pathway.pdf")
    (page,) = read(path)
    assert float(PdfReader(path).pages[0].mediabox.width) == pytest.approx(WIDTHS[paper], abs=1)
    assert page.index(ESCALATE) < page.index("Recent surgery.") < page.index("Until it is settled")
    assert page.index("In this order") < page.index(CHART)
    assert ("Not approved: local policy and the person in charge decide." in page) == (not approved)
    said = one_line(page)
    for row in sheet.body["rows"]:
        assert one_line(row["says"]) in said, row["id"]
        assert row["source"] == TRADE or one_line(row["source"]) in said, row["id"]


def test_what_depends_on_the_instrument_is_starred_and_the_call_is_printed(tmp_path):
    body = {**handed("pathway").body, "head": {"call": "rapid response, 5-1234"}}
    (page,) = read(write_hand_out(handed("pathway", body=body), tmp_path / "pathway.pdf"))
    assert "about 30 s.*" in page and "* as the instructions of the instrument say" in page
    assert "Call: rapid response, 5-1234" in page and f"Without a number: {TRADE}." in page


def test_a_hospital_with_more_to_say_still_gets_one_side(tmp_path):
    body = handed("pathway").body
    rows = [
        {**row, "says": row["says"] + " Our ward adds a sentence here, and a longer one after it." * 2}
        for row in body["rows"]
    ]
    assert len(read(write_hand_out(handed("pathway", body={**body, "rows": rows}), tmp_path / "p.pdf"))) == 1


def test_without_any_line_of_escalation_the_first_line_still_stands(tmp_path):
    """The editor refuses it; a book of an older version may hold it all the same."""
    body = handed("pathway").body
    rows = [row for row in body["rows"] if row["part"] == "wait"]
    (page,) = read(write_hand_out(handed("pathway", body={**body, "rows": rows}), tmp_path / "p.pdf"))
    assert ESCALATE in page and CHART in page


@pytest.mark.parametrize("paper", PAPERS)
def test_as_it_comes_it_is_set_large_enough_to_be_read_standing(paper, tmp_path):
    """At least 9 point: common practice, no source."""
    sizes = {}

    def note(text, _, matrix, __, size):
        sizes[text.strip()] = abs(matrix[3]) * size

    path = write_hand_out(handed("pathway", paper), tmp_path / "pathway.pdf")
    PdfReader(path).pages[0].extract_text(visitor_text=note)
    assert next(size for text, size in sizes.items() if "Recent surgery." in text) >= 9
