"""Documents: every version kept, rivals settled, DRAFT until four things are filled."""

import sys
from datetime import date

import pytest

import invented_document
from approving import new_version
from browline.errors import InputRefused, NotUnderstood
from browline.services.materials import documents

WHOLE = documents.Approval("Ines", "house rules", date(2026, 1, 1), date(2027, 1, 1))


@pytest.fixture(autouse=True)
def visit_bag(monkeypatch):
    monkeypatch.setitem(documents.MODULES, "visit-bag", invented_document.__name__)
    assert sys.modules[invented_document.__name__] is invented_document


def _body(*things):
    return {"head": {"ward": ""}, "rows": [{"thing": thing} for thing in things]}


def test_until_somebody_writes_one_the_default_is_a_draft_and_is_not_kept(book):
    from browline.store.models import ControlledDocument

    found = documents.latest("visit-bag")
    assert (found.version, found.draft, found.body["rows"][0]["thing"]) == (1, True, "Spare scanner")
    assert not ControlledDocument.objects.exists()


def test_a_record_that_points_to_it_keeps_it_once(book):
    assert (
        documents.stored("visit-bag", date(2026, 1, 1)).pk
        == documents.stored("visit-bag", date(2026, 1, 1)).pk
    )


def test_a_new_version_stands_beside_the_old_one(book):
    new_version("visit-bag", _body("Swabs"), WHOLE, read=1, actor="Ines")
    assert [d.version for d in documents.history("visit-bag")] == [2, 1]
    assert documents.latest("visit-bag").body["rows"][0]["thing"] == "Swabs"
    assert documents.history("visit-bag")[1].body["rows"][0]["thing"] == "Spare scanner"


def test_of_two_who_read_the_same_version_the_second_is_told(book):
    from browline.store.models import Event

    new_version("visit-bag", _body("Swabs"), WHOLE, read=1, actor="Ines")
    with pytest.raises(InputRefused, match="somebody else"):
        new_version("visit-bag", _body("Gloves"), WHOLE, read=1, actor="Omar")
    assert documents.latest("visit-bag").body["rows"][0]["thing"] == "Swabs"
    assert Event.objects.filter(verb="document").count() == 1


@pytest.mark.parametrize("missing", ["owner", "source", "approved", "expires"])
def test_it_is_a_draft_while_one_of_four_is_missing(book, missing):
    part = documents.Approval(**{**vars(WHOLE), missing: "" if missing in ("owner", "source") else None})
    made = new_version("visit-bag", _body("Swabs"), part, read=1, actor="Ines")
    assert documents.status(made, date(2026, 6, 1)) == "DRAFT"


def test_it_says_until_when_and_that_it_has_expired(book):
    made = new_version("visit-bag", _body("Swabs"), WHOLE, read=1, actor="Ines")
    assert documents.status(made, date(2025, 12, 31)) == "approved from 01 Jan 2026"
    assert documents.status(made, date(2027, 1, 1)) == "in force until 01 Jan 2027"
    assert documents.status(made, date(2027, 1, 2)) == "EXPIRED 01 Jan 2027"


def test_it_cannot_expire_before_it_is_approved(book):
    wrong = documents.Approval("Ines", "rules", date(2026, 1, 2), date(2026, 1, 1))
    with pytest.raises(NotUnderstood):
        new_version("visit-bag", _body("Swabs"), wrong, read=1, actor="Ines")


def test_a_version_is_locked(book):
    from browline.store.models import ControlledDocument, RecordIsLocked

    made = documents.stored("visit-bag", date(2026, 1, 1))
    made.owner = "Somebody"
    for change in (
        made.save,
        made.delete,
        ControlledDocument.objects.all().delete,
        lambda: ControlledDocument.objects.update(owner="Somebody"),
        lambda: ControlledDocument.objects.filter(pk=made.pk).update(owner="Somebody"),
    ):
        with pytest.raises(RecordIsLocked):
            change()
    assert ControlledDocument.objects.get().owner == ""


def test_a_document_nobody_knows_is_refused(book):
    with pytest.raises(NotUnderstood):
        documents.latest("shopping-list")


@pytest.mark.parametrize("kind", documents.MODULES)
def test_every_default_has_the_shape_its_room_says(kind):
    if kind == "visit-bag":
        return
    layout = documents.layout(kind)
    body = documents.checked(layout, documents._module(kind).default())
    assert layout.kind == kind and body["rows"]


def test_a_later_draft_does_not_push_out_what_is_in_force(book):
    new_version("visit-bag", _body("Swabs"), WHOLE, read=1, actor="Ines")
    new_version("visit-bag", _body("Gloves"), documents.Approval(), read=2, actor="Ines")
    assert documents.latest("visit-bag").version == 3
    assert documents.in_force("visit-bag", date(2026, 6, 1)).version == 2
    assert documents.stored("visit-bag", date(2026, 6, 1)).version == 2


def test_where_none_is_in_force_the_latest_stands_in(book):
    new_version("visit-bag", _body("Swabs"), WHOLE, read=1, actor="Ines")
    assert documents.in_force("visit-bag", date(2030, 1, 1)).version == 2
    assert documents.mark(documents.latest("visit-bag"), date(2030, 1, 1)) == "EXPIRED"
    assert documents.mark(documents.latest("visit-bag"), date(2025, 1, 1)) == "NOT YET"


def test_a_room_may_refuse_what_could_harm(book):
    rules = documents.latest("site-and-cover").body
    cautions = {**rules, "rows": [row for row in rules["rows"] if row["kind"] == "caution"]}
    with pytest.raises(NotUnderstood, match="No patient may be left without an answer"):
        new_version("site-and-cover", cautions, WHOLE, read=1, actor="Ines")
    assert documents.latest("site-and-cover").version == 1


def test_the_editor_refuses_a_checklist_that_would_sign_anybody_off(book):
    from browline.competency import checklist

    body = checklist.default()
    rows = [{**row, "critical": False} for row in body["rows"]]
    with pytest.raises(NotUnderstood, match="No step is critical"):
        new_version("checklist", {**body, "rows": rows}, documents.Approval(), read=1, actor="Ines")
