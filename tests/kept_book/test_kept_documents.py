"""Documents approved before changed lines were shown are DRAFT again, to be read; nothing of them is rewritten."""

import sqlite3

import pytest
from django.utils import timezone

from browline.services.materials import documents
from browline.services.questioned import at_bedside

COLUMNS = "id, kind, version, body, owner, source, approved, expires, made, actor"


@pytest.fixture
def approved(kept):
    """The versions that had owner, source, approval and expiry."""
    from browline.store.models import ControlledDocument

    found = [one for one in ControlledDocument.objects.all() if one.filled]
    assert len(found) >= 2, "the kept book has approved versions"
    return found


def test_every_approved_version_is_a_draft_to_be_read_again(approved):
    today = timezone.localdate()
    assert {documents.mark(one, today) for one in approved} == {"DRAFT"}
    assert {documents.status(one, today) for one in approved} == {documents.READ_AGAIN}
    assert {documents.mark(documents.in_force(kind, today), today) for kind in documents.MODULES} == {"DRAFT"}
    assert not at_bedside.is_on()


def test_an_event_of_each_says_so_and_why(approved):
    from browline.store.models import Event

    told = {(one.subject, one.data["version"]) for one in Event.objects.filter(verb="read-again")}
    assert told == {(one.kind, one.version) for one in approved}
    assert all(one.data["why"] for one in Event.objects.filter(verb="read-again"))


def test_the_versions_themselves_are_as_they_were(kept, unpacked):
    rows = []
    for folder in (unpacked, kept.folder):
        with sqlite3.connect(folder / "book" / "book.sqlite3") as records:
            rows.append(
                records.execute(f"SELECT {COLUMNS} FROM store_controlleddocument ORDER BY id").fetchall()
            )
    assert rows[0] == rows[1] and rows[0]


def test_its_page_shows_the_lines(educator, approved):
    for one in approved:
        page = educator.get(f"/documents/{one.kind}/{one.version}/").content.decode()
        lines = documents.version_changes(one).lines
        assert "Read again." in page and "Lines that differ from the text as it comes with browline" in page
        assert page.count("<dt>Before</dt>") == len(lines) > 0
