"""Reading a document and changing it into its next version."""

import pytest

import invented_document
from browline.duties import documents

ROWS = {"row-TOTAL_FORMS": "3", "row-INITIAL_FORMS": "2"}
FIRST = {"row-0-thing": "Spare scanner", "row-0-id": "spare", "row-0-ORDER": "1"}
SECOND = {"row-1-thing": "Swabs", "row-1-id": "swabs", "row-1-ORDER": "2"}
AS_IT_IS = {"read": "1", **ROWS, **FIRST, **SECOND}
APPROVAL = {
    "approval-owner": "Ines", "approval-source": "house rules", "approval-approved": "2026-01-01",
    "approval-expires": "2030-01-01",
}  # fmt: skip


@pytest.fixture(autouse=True)
def visit_bag(monkeypatch):
    monkeypatch.setitem(documents.MODULES, "visit-bag", invented_document.__name__)


def _change(ines, **fields):
    return ines.post("/documents/visit-bag/change/", {**AS_IT_IS, **fields})


def _things():
    return [row["thing"] for row in documents.latest("visit-bag").body["rows"]]


def test_it_is_shown_with_what_it_lacks(ines):
    page = ines.get("/documents/visit-bag/").content.decode()
    assert "DRAFT" in page and "Spare scanner" in page and "by day" in page


def test_ines_approves_it(ines):
    _change(ines, **APPROVAL)
    page = ines.get("/documents/visit-bag/").content.decode()
    assert "in force until 01 Jan 2030" in page and "DRAFT" not in page


def test_ines_adds_a_row(ines):
    assert _change(ines, **{"row-2-thing": "Gloves", "row-2-for": ["nurses"]}).status_code == 302
    assert _things() == ["Spare scanner", "Swabs", "Gloves"]


def test_ines_moves_one_up(ines):
    _change(ines, **{"row-1-ORDER": "0"})
    assert _things() == ["Swabs", "Spare scanner"]


def test_ines_leaves_one_out(ines):
    _change(ines, **{"row-0-DELETE": "on"})
    assert _things() == ["Swabs"]


def test_a_field_that_is_needed_is_asked_for_and_nothing_is_written(ines):
    answer = _change(ines, **{"row-0-thing": "", "row-1-why": "they clean the lens"})
    assert answer.status_code == 422 and "they clean the lens" in answer.content.decode()
    assert documents.latest("visit-bag").version == 1


def test_a_refusal_keeps_what_was_typed(ines):
    answer = _change(ines, **{"row-1-id": "spare", "row-1-why": "they clean the lens"})
    page = answer.content.decode()
    assert answer.status_code == 409 and "two rows called spare" in page and "they clean the lens" in page


def test_a_rival_is_told(ines):
    _change(ines)
    answer = _change(ines, **{"row-0-why": "mine"})
    assert answer.status_code == 409 and "somebody else" in answer.content.decode()


def test_an_older_version_says_that_it_is_superseded(ines):
    _change(ines, **{"row-0-DELETE": "on"})
    page = ines.get("/documents/visit-bag/1/").content.decode()
    assert "superseded" in page and "Spare scanner" in page


@pytest.mark.parametrize("address", ["/documents/shopping-list/", "/documents/visit-bag/7/"])
def test_what_is_not_there_is_not_found(ines, address):
    assert ines.get(address).status_code == 404


def test_a_marked_temperature_is_read_in_both_units_and_edited_as_a_mark(ines):
    _change(ines, **{"row-0-why": "from {38.0} on"})
    assert "from 38.0 °C (100.4 °F) on" in ines.get("/documents/visit-bag/").content.decode()
    assert "from {38.0} on" in ines.get("/documents/visit-bag/change/").content.decode()


def test_a_whole_number_is_shown_as_one_types_it(ines):
    assert 'value="2"' in ines.get("/documents/visit-bag/change/").content.decode()
