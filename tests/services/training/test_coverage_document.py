"""Who can do it as one document: read again from its JSON, refused where a number is not finite."""

import json
from math import nan

import pytest
from msgspec.structs import replace

import larch_at_night as cast
from browline.documents.coverage import coverage_json, read_coverage
from browline.documents.encoding import NotFinite, plain
from browline.services.training.coverage.document import coverage_document, coverage_without_names
from larch_at_night import NIGHT, TODAY


@pytest.fixture
def staff(book):
    return cast.a_night()


@pytest.fixture
def document(staff):
    return coverage_document(NIGHT, TODAY)


def test_its_json_is_read_again_and_written_as_the_same_bytes(document):
    text = coverage_json(document)
    read = read_coverage(json.loads(text))
    assert coverage_json(read) == text
    assert (read.moment, read.on_duty, read.weeks) == (document.moment, document.on_duty, document.weeks)


def test_the_whole_document_is_read_again_with_its_supplement(document):
    assert read_coverage(json.loads(json.dumps(plain(document)))) == document


def test_the_contract_stands_in_its_order_without_the_supplement(document):
    written = json.loads(coverage_json(document))
    assert list(written) == ["format", "at", "on_duty", "weeks"]
    assert list(written["on_duty"]) == [
        "lines", "eligible", "signed_off", "not_signed_off", "excluded", "unknown",
    ]  # fmt: skip
    assert list(written["on_duty"]["not_signed_off"][0]) == [
        "name", "ward", "shift", "role", "standing", "sentence",
    ]  # fmt: skip
    assert written["at"] == "2026-03-02T23:00:00+00:00"


def test_a_share_that_is_not_finite_is_refused_with_its_place(document):
    broken = replace(document.weeks.cells[1], low=nan)
    cells = (document.weeks.cells[0], broken)
    with pytest.raises(NotFinite, match=r"^weeks\.cells\[1\]\.low is nan"):
        coverage_json(replace(document, weeks=replace(document.weeks, cells=cells)))


def test_the_supplement_goes_row_by_row_with_the_contract(document, staff):
    named = zip(document.supplement.people, document.on_duty.not_signed_off, strict=True)
    assert {person: row.name for person, row in named} == {
        staff[first].pk: staff[first].name for first in ("Cem", "Dee", "Ida")
    }
    assert [row.name for row in document.supplement.signed_off] == ["Ana Reed", "Bo Hale", "Fay Moss"]
    for cell, counts in zip(document.weeks.cells, document.supplement.counts, strict=True):
        assert cell.signed_off + counts.overdue + counts.not_yet + counts.never == cell.eligible


def test_the_days_of_the_weeks_need_not_be_those_of_the_moment(staff):
    document = coverage_document(NIGHT, TODAY.replace(month=5))
    assert (document.moment[:10], document.weeks.first) == ("2026-03-02", "2026-04-27")


def test_without_names_nobody_is_looked_up_and_nothing_small_is_there(staff, monkeypatch):
    from browline.services.training import coverage

    monkeypatch.setattr(coverage, "names", lambda people: pytest.fail("a name was looked up"))
    document = coverage_without_names(TODAY)
    assert {cell.sentence for cell in document.cells} == {"too few people to show"}
    assert not any(person.name in json.dumps(plain(document)) for person in staff.values())
