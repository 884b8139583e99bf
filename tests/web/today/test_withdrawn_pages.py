"""A finding that was taken back leaves the things to do, stands with its reason, and its list says so."""

import io

import fenwick_vale
import openpyxl
import pytest

from browline.findings import NOT_JUDGED, TAKEN_BACK, not_judged
from browline.store.models import Finding, Review


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def taken_back(ines):
    fenwick_vale.an_import()
    made = fenwick_vale.a_review()
    fenwick_vale.a_register()
    back = {"reason": TAKEN_BACK, "at": "2026-07-01T09:00:00+00:00"}
    Finding.objects.filter(pk=1).update(state=Finding.WITHDRAWN, data=fenwick_vale.FS07 | {"withdrawn": back})
    first, *others = made.result["instruments"]
    made.result["instruments"] = [not_judged(first), *others]
    Review.objects.filter(pk=made.pk).update(result=made.result)
    return ines


def test_it_is_no_longer_a_thing_to_do_and_its_reason_stands_on_today(taken_back):
    page = text(taken_back.get("/"))
    assert "1 thing to do" in page
    withdrawn = page[page.index("Withdrawn") :]
    assert fenwick_vale.FS07["sentence"] in withdrawn and TAKEN_BACK in withdrawn
    assert fenwick_vale.FS07["sentence"] not in page[: page.index("Withdrawn")]
    assert "flagged" not in page[: page.index("Last review")]


def test_its_page_and_its_lists_say_that_it_was_withdrawn(taken_back):
    page = text(taken_back.get("/findings/1/"))
    assert page.count(TAKEN_BACK) >= 1 and "do not act on it" in page and "01 Jul 2026" in page
    assert "Nothing because of this finding" in page and fenwick_vale.FS07["action"] not in page
    assert "overdue" not in page
    assert f"This list came from a finding that was withdrawn. {TAKEN_BACK}" in text(
        taken_back.get("/findings/1/readings/")
    )
    sheet = openpyxl.load_workbook(io.BytesIO(taken_back.get("/findings/1/look-back.xlsx").content)).active
    assert sheet["D1"].value == "the finding was withdrawn"


def test_the_sentence_stands_in_place_of_the_number(taken_back):
    said = NOT_JUDGED.capitalize()
    page = text(taken_back.get("/instruments/"))
    assert said in page and "0.42" not in page
    own = text(taken_back.get("/instruments/1/"))
    assert said in own and "a check against a reference tells" in own
    assert "0.42" not in own and "Really beyond the tolerance" not in own
    assert "Really beyond the tolerance" in text(taken_back.get("/instruments/2/"))
