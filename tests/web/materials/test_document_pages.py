"""Reading a document and changing it into its next version."""

import re
from datetime import date
from html import unescape

import pytest

import invented_document
from browline.services.materials import documents

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


CHANGE = "/documents/visit-bag/change/"


def _change(ines, **fields):
    """What is entered; where it is to be approved, the lines are shown and confirmed as on the page."""
    answer = ines.post(CHANGE, {**AS_IT_IS, **fields})
    if "Read before it is approved" not in answer.content.decode():
        return answer
    return ines.post(CHANGE, {**_entered(answer), "all-read": "yes"})


def _entered(answer):
    """Every hidden field of the page that shows the lines."""
    hidden = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)">', answer.content.decode())
    return {name: unescape(value) for name, value in hidden if name != "csrfmiddlewaretoken"}


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


def test_before_it_is_approved_every_changed_line_stands_beside_the_old_one(ines):
    asked = {**AS_IT_IS, **APPROVAL, "row-0-thing": "Spare scann\u0435r", "row-1-DELETE": "on"}
    page = ines.post(CHANGE, asked)
    shown = page.content.decode()
    assert page.status_code == 200 and documents.latest("visit-bag").version == 1
    assert "the text as it comes with browline" in shown and "CYRILLIC SMALL LETTER IE" in shown
    assert shown.index("<dd>Spare scanner</dd>") < shown.index("<dd>Spare scann\u0435r</dd>")
    assert "Left out</strong>: swabs" in shown and "Thing: Swabs" in shown
    assert ines.post(CHANGE, {**_entered(page), "all-read": "yes"}).status_code == 302
    assert _things() == ["Spare scann\u0435r"] and not documents.latest("visit-bag").draft


def test_not_said_to_be_read_or_changed_meanwhile_it_is_shown_once_more(ines):
    page = ines.post(CHANGE, {**AS_IT_IS, **APPROVAL})
    entered = _entered(page)
    for again in (
        entered,
        {**entered, "all-read": "yes", "row-0-why": "slipped in"},
        {**entered, "seen": "x"},
    ):
        answer = ines.post(CHANGE, again)
        assert "Read before it is approved" in answer.content.decode()
    assert documents.latest("visit-bag").version == 1


def test_one_approved_earlier_shows_its_lines_and_says_read_again(ines):
    from browline.store.models import ControlledDocument

    body = documents.latest("visit-bag").body
    body = {**body, "rows": [{**body["rows"][0], "why": "from {38.0} on"}, *body["rows"][1:]]}
    ControlledDocument.objects.create(
        kind="visit-bag", version=2, body=body, actor="ines", owner="Ines", source="rules",
        approved=date(2026, 1, 1), expires=date(2030, 1, 1),
    )  # fmt: skip
    page = ines.get("/documents/visit-bag/").content.decode()
    assert "Read again." in page and "DRAFT: read again" in page and "to be read again" in page
    assert page.index("<dd>nothing</dd>") < page.index("<dd>from 38.0 °C (100.4 °F) on</dd>")
    _change(ines, read="2", **APPROVAL)
    assert "Read again." not in ines.get("/documents/visit-bag/").content.decode()
