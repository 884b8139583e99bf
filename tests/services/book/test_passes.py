"""Passes: a link that works until it ends or is taken back, and is kept nowhere."""

from datetime import timedelta

import pytest
from django.utils import timezone

from browline.errors import NotUnderstood
from browline.services.book import access_links


def _soon():
    return timezone.now() + timedelta(hours=12)


@pytest.fixture
def omar(book):
    from browline.store.models import Person

    return Person.objects.create(identifier="00417", name="Omar", pseudonym=7)


def test_a_link_finds_its_pass_and_no_other_text_does(book, omar):
    token = access_links.issue("assessor", person=omar, until=_soon(), actor="Ines")
    assert access_links.by_token(token).person == omar
    assert access_links.by_token(token[:-1]) is None and access_links.by_token("") is None


def test_the_link_itself_is_nowhere_in_the_book(book, omar):
    token = access_links.issue("assessor", person=omar, until=_soon(), actor="Ines")
    kept = b"".join(path.read_bytes() for path in book.folder.rglob("*.sqlite3*"))
    assert token.encode() not in kept


def test_a_pass_ends(book, omar, monkeypatch):
    token = access_links.issue("person", person=omar, until=_soon(), actor="Ines")
    later = timezone.now() + timedelta(hours=13)
    monkeypatch.setattr(timezone, "now", lambda: later)
    assert access_links.by_token(token) is None


def test_a_pass_is_taken_back_once_and_that_is_recorded(book, omar):
    from browline.store.models import Event, Pass

    token = access_links.issue("person", person=omar, until=_soon(), actor="Ines")
    number = Pass.objects.get().pk
    access_links.revoke(number, "Ines")
    access_links.revoke(number, "Ines")
    assert access_links.by_token(token) is None and access_links.valid(number) is None
    assert Event.objects.filter(verb="pass-revoked").count() == 1


@pytest.mark.parametrize(
    "asked",
    [
        {"role": "educator"},
        {"role": "president"},
        {"role": "assessor"},
        {"role": "person"},
        {"role": "viewer", "until": timedelta(hours=-1)},
        {"role": "viewer", "until": timedelta(days=40)},
    ],
    ids=str,
)
def test_passes_that_make_no_sense_are_refused(book, asked):
    from browline.store.models import Pass

    until = timezone.now() + asked.get("until", timedelta(hours=1))
    with pytest.raises(NotUnderstood):
        access_links.issue(asked["role"], until=until, actor="Ines")
    assert not Pass.objects.exists()


def test_the_bearer_is_named_in_deeds(book, omar):
    access_links.issue("assessor", person=omar, until=_soon(), actor="Ines")
    viewer = access_links.issue("viewer", until=_soon(), actor="Ines")
    from browline.store.models import Pass

    assert access_links.actor(Pass.objects.get(role="assessor")) == "assessor 00417"
    assert access_links.actor(access_links.by_token(viewer)).startswith("viewer ")
