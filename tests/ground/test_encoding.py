"""A document as plain data: what is not a finite number is refused with its place, and never written as null."""

import json
from math import inf, nan

import msgspec
import pytest

from browline.documents.encoding import NotFinite, as_json, plain
from browline.documents.review import InstrumentRow, ReviewDocument, SiteRow, read_review, stored_parts
from browline.documents.supplement import Supplement, WeekRow, WeeksPart
from browline.errors import InputRefused


@pytest.mark.parametrize("number", [nan, inf, -inf])
def test_a_number_that_is_not_finite_is_refused_with_its_place(number):
    document = ReviewDocument(instruments=(InstrumentRow(instrument="FS-01", n=12, offset_c=number),))
    with pytest.raises(NotFinite, match=r"^instruments\[0\]\.offset_c is .*nothing was written"):
        as_json(document)


def test_it_is_refused_deep_in_the_supplement_as_well():
    weeks = WeeksPart(ward={"Alder": (WeekRow(week="2026-01-05", n=20, mean_c=nan),)})
    with pytest.raises(NotFinite, match=r"supplement\.weeks\.ward\.Alder\[0\]\.mean_c is nan"):
        stored_parts(ReviewDocument(supplement=Supplement(weeks=weeks)))


def test_the_library_alone_would_have_written_null():
    """Why `plain` looks at every number: with another version of the library this may no longer be so."""
    assert b'"offset_c":null' in msgspec.json.encode(SiteRow(site="oral", n=1, offset_c=nan))


def test_whole_numbers_stay_whole_and_names_stand_in_the_order_of_the_contract():
    stored = {"instrument": "FS-01", "n": 12, "comparator": "the ward", "offset_c": 1, "low_c": 0.5}
    row = plain(read_review({"instruments": [stored]}).instruments[0])
    assert json.dumps(row).startswith(
        '{"instrument": "FS-01", "n": 12, "comparator": "the ward", "offset_c": 1, "low_c": 0.5,'
    )


def test_what_an_earlier_version_did_not_write_has_a_default():
    document = read_review({"format": "browline-review/1", "wards": [{"ward": "Alder", "n": 40}]})
    assert document.wards[0].judged and document.wards[0].offset_c is None
    assert document.supplement.audit is None and not document.people


def test_results_by_person_are_written_only_where_they_were_asked_for():
    assert "people" not in stored_parts(ReviewDocument())[0]
    listed = stored_parts(ReviewDocument(people=(), people_not_listed=None))[0]
    assert list(listed)[-2:] == ["people", "people_not_listed"]


def test_what_is_no_review_is_refused():
    with pytest.raises(TypeError, match="list came"):
        read_review([])
    with pytest.raises(InputRefused, match="instruments"):
        read_review({"instruments": [{"n": 3}]})
