"""A round of instruments: the page, a phone's records, the sheet keyed in, and who may."""

import json
import re
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from browline.services.instruments import register as registers
from browline.store.models import Cleaning, Event, Instrument, Sighting


def text(answer):
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


@pytest.fixture
def fleet(book):
    """FS-07 and FS-08 of Larch, FS-11 of Maple."""
    for name, ward in (("FS-07", "Larch"), ("FS-08", "Larch"), ("FS-11", "Maple")):
        registers.add_instrument(name, ward=ward, unit="C", mode="core", actor="educator")


@pytest.fixture
def let(book):
    """Somebody's phone, let in by a pass of a role."""
    from django.test import Client

    from browline.services.book import access_links
    from browline.store.models import Person

    def come(role):
        person = Person.objects.get_or_create(identifier="00417", defaults={"pseudonym": 7})[0]
        token = access_links.issue(
            role, person=person, until=timezone.now() + timedelta(hours=1), actor="Ines"
        )
        client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        assert client.get(f"/in/pass/{token}/").status_code == 302
        return client

    return come


LARCH = {
    "ward": "Larch",
    "name-1": "FS-07",
    "state-1": "present",
    "lens-1": "cleaned",
    "unit-1": "C",
    "name-2": "FS-08",
    "state-2": "not-located",
    "name-other-1": "",
}


def sent(minutes_waited=0, **more):
    """What a phone's outbox sends: its key, when it was filled in, when it is sent."""
    now = timezone.now()
    at = now - timedelta(minutes=minutes_waited)
    return {"key": str(uuid4()), "at": at.isoformat(), "sent": now.isoformat(), **LARCH, **more}


def post(client, told):
    return client.post("/round/keep/", json.dumps(told), content_type="application/json")


def test_the_wards_with_their_instruments(fleet, ines):
    page = text(ines.get("/round/"))
    assert "Larch 2 instruments" in page and "Maple 1 instrument" in page
    assert "Registered °C, core." in page and "Lens: no cleaning on record." in page


def test_an_empty_register_leads_to_adding(ines):
    page = ines.get("/round/").content.decode()
    assert "No instrument is in the register yet." in page and "/instruments/add/" in page


def test_a_large_hospital_chooses_its_wards_first(fleet, ines, monkeypatch):
    from browline.web.instruments.rounds import views

    monkeypatch.setattr(views, "FEW", 2)
    page = text(ines.get("/round/"))
    assert "Which wards do you walk?" in page and "FS-07" not in page
    page = text(ines.get("/round/?ward=Larch"))
    assert "FS-07" in page and "FS-11" not in page and "Other wards" in page


def test_one_found_elsewhere_is_looked_for_at_home_and_there(fleet, ines):
    post(ines, sent(**{"ward": "Maple", "name-2": "", "state-2": ""}))
    page = text(ines.get("/round/"))
    assert "Larch 2 instruments" in page and "Maple 2 instruments" in page and "Its home is Larch." in page


def test_a_phones_round_is_kept_and_answered(fleet, ines):
    answer = post(ines, sent())
    assert answer.status_code == 200
    assert answer.json() == {
        "kept": True, "waiting": False, "sentence": "2 instruments kept. 1 cleaned lens noted.",
    }  # fmt: skip
    assert Sighting.objects.count() == 2 and Cleaning.objects.get().part == "lens"
    assert {s.actor for s in Sighting.objects.all()} == {"educator"}


def test_sent_twice_with_other_moments_it_is_kept_once(fleet, ines):
    told = sent()
    post(ines, told)
    later = (timezone.now() + timedelta(seconds=40)).isoformat()
    answer = post(ines, {**told, "sent": later})
    assert answer.json()["sentence"] == "This round is already in the book."
    assert Sighting.objects.count() == 2 and Cleaning.objects.count() == 1


@pytest.mark.parametrize(
    ("at", "later"), [("0001-01-02T00:00", "9999-12-30T00:00"), ("1970-01-01T00:00", "2026-01-01T00:00")]
)
def test_a_round_that_waited_for_years_is_refused(fleet, ines, at, later):
    answer = post(ines, {**sent(), "at": at, "sent": later})
    assert answer.status_code == 422 and "waited for more than a year" in answer.json()["sentence"]


def test_a_sheet_of_another_age_is_refused(fleet, ines):
    assert ines.post("/round/keep/", {**LARCH, "time": "0001-01-01T00:00"}).status_code >= 400
    assert not Sighting.objects.exists()


def test_a_round_that_waited_is_dated_when_it_was_walked_whatever_the_phones_clock(fleet, ines):
    wrong = timezone.now() - timedelta(days=400)
    told = {**sent(), "at": wrong.isoformat(), "sent": (wrong + timedelta(hours=3)).isoformat()}
    post(ines, told)
    kept = Sighting.objects.first()
    assert abs(kept.time - (timezone.now() - timedelta(hours=3))) < timedelta(minutes=1)
    assert kept.how == "phone"


def test_the_sheet_is_keyed_with_its_own_time_in_the_hospitals_zone(fleet, ines):
    from browline.services.book.change_preference import set_choice

    set_choice("zone", "America/Chicago", "ines")
    answer = ines.post(
        "/round/keep/", {**LARCH, "made": str(uuid4()), "time": "2026-07-09T08:15"}, follow=True
    )
    assert "2 instruments kept." in text(answer)
    assert {(s.time, s.how) for s in Sighting.objects.all()} == {
        (datetime(2026, 7, 9, 13, 15, tzinfo=UTC), "sheet")
    }


def test_a_double_press_without_a_script_keeps_it_once(fleet, ines):
    form = {**LARCH, "made": str(uuid4())}
    ines.post("/round/keep/", form)
    assert "already in the book" in text(ines.post("/round/keep/", form, follow=True))
    assert Sighting.objects.count() == 2


def test_another_instrument_is_offered_as_not_in_the_register(fleet, ines):
    answer = post(ines, sent(**{"name-other-1": "FS-O7", "state-other-1": "in-use"}))
    assert "Not in the register: FS-O7. FS-O7 looks like FS-07." in answer.json()["sentence"]
    assert not Instrument.objects.get(name="FS-O7").listed


@pytest.mark.parametrize(
    "wrong, why",
    [
        ({"state-1": "", "lens-1": "", "unit-1": "", "state-2": ""}, "Nothing was ticked."),
        ({"state-1": ""}, "FS-07 was looked at, but not said to be here or in use."),
        ({"state-1": "lost"}, "state cannot be 'lost'"),
        ({"state-2": "not-located", "battery-2": "ok"}, "FS-08 was not found, but something was seen of it."),
        ({"time": "soon"}, "is not a date and time"),
        ({"time": "2099-01-01T00:00"}, "still to come"),
        ({"name-1": ["FS-07"]}, "A round is a flat list of texts."),
        ({"name-1": "x" * 81}, "too long a name"),
    ],
)
def test_what_a_round_cannot_say_stays_on_the_phone_with_the_reason(fleet, ines, wrong, why):
    answer = post(ines, sent(**wrong))
    assert answer.status_code == 422
    told = answer.json()
    assert not told["kept"] and not told["waiting"] and why in told["sentence"]
    assert not Sighting.objects.exists() and not Event.objects.filter(verb="round").exists()


@pytest.mark.parametrize("body", ["[]", "not json", '"text"', "null"])
def test_what_is_no_record_is_refused(fleet, ines, body):
    answer = ines.post("/round/keep/", body, content_type="application/json")
    assert answer.status_code == 422 and not answer.json()["kept"]


def test_an_assessor_walks_a_round_in_the_own_name(fleet, let):
    omar = let("assessor")
    assert omar.get("/round/").status_code == 200
    assert post(omar, sent()).json()["kept"]
    assert {s.actor for s in Sighting.objects.all()} == {"assessor 00417"}
    assert omar.get("/round/sheet/?ward=Larch").status_code == 200


@pytest.mark.parametrize("role", ["viewer", "person"])
def test_others_cannot(fleet, let, role):
    guest = let(role)
    assert guest.get("/round/").status_code == 403
    assert post(guest, sent()).status_code == 403
    assert guest.get("/round/sheet/").status_code == 403
    assert not Sighting.objects.exists()


def test_a_visitor_cannot(fleet, visitor):
    assert post(visitor, sent()).status_code == 403 and not Sighting.objects.exists()


def test_an_assessor_does_not_change_the_register(fleet, let):
    omar = let("assessor")
    for address in ("cleanings/", "add/", "need/", "batteries/", "1/retire/", "1/reinstate/"):
        assert omar.post(f"/instruments/{address}", {}).status_code == 403, address


def test_another_site_cannot_make_a_phone_send(fleet, book):
    """The outbox's JSON needs the page's token as much as the form does."""
    from django.test import Client

    from browline.web.access import make_token

    strict = Client(enforce_csrf_checks=True, SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    strict.get(f"/in/{make_token()}/")
    assert post(strict, sent()).status_code == 403 and not Sighting.objects.exists()


def test_the_round_sheet_says_when_each_lens_is_due(fleet, ines):
    from io import BytesIO

    from pypdf import PdfReader

    Cleaning.objects.create(
        instrument=Instrument.objects.get(name="FS-07"), time=datetime(2026, 3, 1, 9, tzinfo=UTC), part="lens"
    )
    answer = ines.get("/round/sheet/?ward=Larch")
    assert answer["Content-Type"] == "application/pdf"
    sheet = " ".join(page.extract_text() for page in PdfReader(BytesIO(answer.content)).pages)
    assert "FS-07" in sheet and "15 Mar 2026" in " ".join(sheet.split()) and "FS-11" not in sheet
