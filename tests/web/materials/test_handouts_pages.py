"""The page of hand-outs: how each stands, its file, what has been replaced; open to read for every role."""

from datetime import timedelta
from io import BytesIO

import pytest
from django.utils import timezone
from pypdf import PdfReader

from approving import new_version
from browline.services.materials import documents
from browline.services.materials.documents import Approval
from browline.services.materials.handouts.cards import HAND_OUTS


def text(answer):
    return " ".join(answer.content.decode().split())


def approve(kind, version=1, ends=300):
    today = timezone.localdate()
    approval = Approval("Ines Quill", "instructions of model A", today, today + timedelta(days=ends))
    new_version(kind, documents.latest(kind).body, approval, read=version, actor="educator")


@pytest.fixture
def let(book):
    """Let somebody in with a pass of this role."""
    from django.test import Client

    from browline.services.book import access_links
    from browline.store.models import Person

    def come(role):
        person = Person.objects.get_or_create(identifier="00417", defaults={"pseudonym": 7})[0]
        token = access_links.issue(
            role, person=person, until=timezone.now() + timedelta(hours=1), actor="Ines"
        )
        client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        client.get(f"/in/pass/{token}/")
        return client

    return come


def test_every_hand_out_says_how_it_stands(ines):
    page = text(ines.get("/hand-outs/"))
    for one in HAND_OUTS.values():
        assert one.title in page and f'href="/documents/{one.kind}/"' in page
    assert page.count(">DRAFT</span>") == len(HAND_OUTS)
    assert "Read, change or approve" in page


def test_an_approved_card_is_in_force_and_its_old_version_is_to_be_called_in(ines):
    ines.get("/hand-outs/pocket-card.pdf")
    approve("pocket-card")
    page = text(ines.get("/hand-outs/"))
    assert "in force until" in page and "Replaced versions of: Pocket card (1)" in page
    assert "Copies of these should no longer be found." in page
    assert page.count("last taken from here") == 1 and page.count("never taken from here") == 1


@pytest.mark.parametrize("name", HAND_OUTS)
def test_each_is_a_pdf_named_with_its_version(ines, name):
    answer = ines.get(f"/hand-outs/{name}.pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == f'attachment; filename="{name}-v1.pdf"'
    assert "DRAFT" in PdfReader(BytesIO(answer.content)).pages[0].extract_text()


def test_paper_is_the_one_chosen_unless_another_is_asked_for(ines):
    from browline.services.book.change_preference import set_choice

    def wide(address):
        page = PdfReader(BytesIO(ines.get(address).content)).pages[0]
        return round(float(page.mediabox.width))

    assert wide("/hand-outs/poster.pdf") == 595
    assert wide("/hand-outs/poster.pdf?paper=a3") == 842
    set_choice("paper", "us-letter", "educator")
    assert wide("/hand-outs/poster.pdf") == 612


def test_what_cannot_be_set_is_refused_in_words(ines):
    assert "It is set on a4, us-letter" in text(ines.get("/hand-outs/pocket-card.pdf?paper=a3"))
    assert ines.get("/hand-outs/leaflet.pdf").status_code == 422


def test_taking_a_copy_is_noted_and_looking_is_not(ines):
    from browline.store.models import Event

    ines.get("/hand-outs/")
    ines.head("/hand-outs/poster.pdf")
    assert not Event.objects.filter(verb="hand-out").exists()
    ines.get("/hand-outs/poster.pdf")
    (event,) = Event.objects.filter(verb="hand-out")
    assert (event.subject, event.data["version"], event.actor) == ("poster", 1, "educator")


def test_a_blank_sheet_to_sign_is_for_those_who_teach(ines, let):
    assert ines.get("/hand-outs/blank-sign-in.pdf").content.startswith(b"%PDF")
    assert let("assessor").get("/hand-outs/blank-sign-in.pdf").status_code == 200
    assert let("viewer").get("/hand-outs/blank-sign-in.pdf").status_code == 403


@pytest.mark.parametrize("role", ["assessor", "viewer", "person"])
def test_others_read_and_print_and_do_not_change(let, role):
    client = let(role)
    page = text(client.get("/hand-outs/"))
    assert "Read, change or approve" not in page and "Pocket card" in page
    assert ("Sheets to write on" in page) == (role == "assessor")
    assert client.get("/hand-outs/site-card.pdf").status_code == 200


def test_a_visitor_gets_nothing(visitor):
    for address in ("/hand-outs/", "/hand-outs/poster.pdf", "/hand-outs/site-and-cover/", "/questions/"):
        assert visitor.get(address).status_code == 403
