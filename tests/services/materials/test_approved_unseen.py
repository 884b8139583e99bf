"""Nothing is approved unseen: every changed line beside the old one, and what was approved before is read again."""

import copy
import doctest
from datetime import date, timedelta

import pytest
from django.utils import timezone

import invented_document
from approving import new_version
from browline.errors import NotUnderstood
from browline.services.materials import changed_rows, documents
from browline.services.materials.changed_rows import ADDED, CHANGED, LEFT_OUT, MOVED, changes
from browline.services.materials.handouts.cards import handed_out
from browline.services.questioned import at_bedside

WHOLE = documents.Approval("Ines", "house rules", date(2026, 1, 1), date(2030, 1, 1))
DAY = date(2026, 6, 1)
BODY = documents.checked(invented_document.LAYOUT, invented_document.default())


@pytest.fixture(autouse=True)
def visit_bag(monkeypatch):
    monkeypatch.setitem(documents.MODULES, "visit-bag", invented_document.__name__)


def differ(change):
    new = copy.deepcopy(BODY)
    change(new)
    return [
        (one.line, one.what, one.field, one.was, one.now)
        for one in changes(invented_document.LAYOUT, BODY, new)
    ]


def with_thing(id, thing):
    body = copy.deepcopy(BODY)
    body["rows"].append({**body["rows"][0], "id": id, "thing": thing})
    return body


def approved_earlier(kind="visit-bag", body=BODY, version=2):
    """A version as one before this left it: approved, and nobody was shown its lines."""
    from browline.store.models import ControlledDocument

    return ControlledDocument.objects.create(
        kind=kind, version=version, body=body, actor="educator", **vars(WHOLE)
    )


def test_each_kind_of_difference_is_told_in_its_place():
    assert differ(lambda body: None) == []
    assert differ(lambda body: body["head"].update(ward="Elm")) == [("", CHANGED, "Ward", "Larch", "Elm")]
    assert differ(lambda body: body["rows"][0].update(why="it breaks", when="night")) == [
        ("spare", CHANGED, "Why", "", "it breaks"), ("spare", CHANGED, "When", "by day", "at night"),
    ]  # fmt: skip
    assert differ(lambda body: body["rows"].pop(1))[0][:2] == ("swabs", LEFT_OUT)
    added = differ(lambda body: body["rows"].append({**BODY["rows"][0], "id": "gloves", "thing": "Gloves"}))
    assert added[0][:2] == ("gloves", ADDED) and "Thing: Gloves" in added[0][4]
    assert [one[1] for one in differ(lambda body: body["rows"].reverse())] == [MOVED]


def test_a_line_without_a_name_goes_by_its_first_words():
    for row in (old := copy.deepcopy(BODY))["rows"]:
        row["id"] = ""
    new = copy.deepcopy(old)
    new["rows"][1]["why"] = "they clean"
    assert [one.line for one in changes(invented_document.LAYOUT, old, new)] == ["Swabs"]
    twice = {**old, "rows": [*old["rows"], old["rows"][1]]}
    assert [one.what for one in changes(invented_document.LAYOUT, old, twice)] == [ADDED]


def test_the_examples_of_the_docstrings_run():
    assert doctest.testmod(changed_rows).failed == 0 < doctest.testmod(changed_rows).attempted


def test_without_having_been_shown_it_is_refused_and_a_draft_is_not(book):
    for seen in ("", "yes", documents.changes_to_approve("visit-bag", BODY).token):
        with pytest.raises(NotUnderstood, match="approved unseen"):
            documents.new_version(
                "visit-bag", with_thing("gloves", "Gloves"), WHOLE, read=1, actor="Ines", token=seen
            )
    documents.new_version("visit-bag", BODY, documents.Approval(), read=1, actor="Ines")


def test_what_was_shown_is_kept_with_the_version(book):
    made = new_version("visit-bag", with_thing("gloves", "Gloves"), WHOLE, read=1, actor="Ines")
    assert made.seen["against"] == 0 and [one["line"] for one in made.seen["lines"]] == ["gloves"]
    assert documents.mark(made, DAY) == ""


def test_an_edit_that_went_in_as_a_draft_is_still_shown(book):
    """Beside the last version approved, not beside the draft before."""
    new_version("visit-bag", BODY, WHOLE, read=1, actor="Ines")
    new_version("visit-bag", with_thing("gloves", "Gloves"), documents.Approval(), read=2, actor="Ines")
    told = documents.changes_to_approve("visit-bag", documents.latest("visit-bag").body)
    assert (told.against, [one.line for one in told.lines]) == (2, ["gloves"])


def test_approved_by_an_earlier_version_it_is_a_draft_to_be_read_again(book):
    old = approved_earlier(body=with_thing("gloves", "Gloves"))
    assert old.draft and old.read_again and documents.mark(old, DAY) == "DRAFT"
    assert documents.status(old, DAY) == documents.READ_AGAIN
    told = documents.version_changes(old)
    assert (told.against, [one.line for one in told.lines]) == (0, ["gloves"])
    new_version("visit-bag", old.body, WHOLE, read=2, actor="Ines")
    assert (
        documents.in_force("visit-bag", DAY).version == 3 and not documents.in_force("visit-bag", DAY).draft
    )


def test_until_then_it_stands_in_before_a_draft_that_nobody_approved(book):
    old = approved_earlier()
    new_version("visit-bag", with_thing("gloves", "Gloves"), documents.Approval(), read=2, actor="Ines")
    assert documents.latest("visit-bag").version == 3
    assert documents.in_force("visit-bag", DAY).pk == old.pk


def test_hand_outs_say_draft_and_the_bedside_is_off(book):
    body = documents.latest("questioned-reading-pathway").body
    approved_earlier("questioned-reading-pathway", body)
    now = timezone.localtime()
    handed = handed_out("pathway", now)
    assert (handed.mark, handed.version, handed.standing) == ("DRAFT", 2, documents.READ_AGAIN)
    assert not at_bedside.is_on()


def test_a_demonstration_keeps_saying_how_its_checklist_stood(book):
    from browline.store.models import Event

    old = approved_earlier("checklist", documents.latest("checklist").body)
    assert documents.status_on(old, DAY) == "in force until 01 Jan 2030"
    Event.objects.create(actor="browline", verb="read-again", subject="checklist", data={"version": 2})
    today = timezone.localdate()
    assert documents.status_on(old, today - timedelta(days=2)).startswith("in force")
    assert documents.status_on(old, today + timedelta(days=1)) == documents.READ_AGAIN
