"""Sessions as Ines sees them: planned, shown with their code, keyed in from paper, held."""

from datetime import timedelta

import pytest
from django.utils import timezone

WHEN = "%Y-%m-%dT%H:%M"


@pytest.fixture
def staff(book):
    """Three people of Maple, two of them on duty now by the roster, one of these reached before."""
    from browline.duties.sessions.matching import put_on_list, unlisted
    from browline.store.models import Attendance, Person, Shift

    now = timezone.now()
    for identifier, name in (("00417", "Hana Alderley"), ("00938", "Bram Copeden"), ("01200", "Una Fenwick")):
        put_on_list(unlisted(identifier).pk, name=name, ward="Maple", role="nurse", actor="educator")
    people = {p.identifier: p for p in Person.objects.all()}
    for identifier in ("00417", "00938"):
        Shift.objects.create(
            person=people[identifier], date=now.date(), ward="Maple", code="N", kind="night",
            start=now - timedelta(hours=2), end=now + timedelta(hours=8),
        )  # fmt: skip
    Attendance.objects.create(person=people["00417"], time=now - timedelta(days=30), outcome="attended")
    return people


@pytest.fixture
def tonight(staff):
    """A session on Maple that begins now."""
    from browline.duties.sessions import plan_session

    return plan_session(timezone.now().replace(second=0, microsecond=0), ward="Maple", actor="educator")


def page(ines, tonight):
    return ines.get(f"/teaching/sessions/{tonight.pk}/").content.decode()


def test_ines_plans_a_session(ines):
    asked = {"time": "2026-03-07T21:30", "minutes": 20, "ward": "Maple", "educator": "Ines"}
    answer = ines.post("/teaching/sessions/", asked, follow=True)
    assert "Session on Maple, 07 Mar 2026 21:30" in answer.content.decode()


def test_a_session_of_no_minutes_is_refused_with_the_form(ines):
    answer = ines.post("/teaching/sessions/", {"time": "2026-03-07T21:30", "minutes": 0})
    assert answer.status_code == 422 and "Ensure this value" in answer.content.decode()


def test_the_page_shows_the_code_and_who_is_expected_those_not_reached_first(ines, tonight):
    shown = page(ines, tonight)
    assert tonight.code in shown
    assert shown.index("Bram Copeden") < shown.index("Hana Alderley")
    assert "Una Fenwick" not in shown, "she is not on duty"
    assert "browline open --phones" in shown


def test_the_page_shows_a_qr_code_while_phones_can_reach_it(ines, tonight, monkeypatch):
    from browline.web import phones

    monkeypatch.setattr(phones, "_opened", ["http://192.0.2.20:8737"])
    shown = page(ines, tonight)
    assert f"http://192.0.2.20:8737/here/{tonight.code}/" in shown
    assert "<svg" in shown and "style=" not in shown.split("<svg")[1].split("</svg>")[0]


def test_the_paper_sheet_is_keyed_in_with_ticks_and_lines(ines, tonight, staff):
    from browline.store.models import Attendance

    said = {"ticked": ["00938"], "lines": "1200\n\nHana Alderley\nB-77\n"}
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/key-in/", said, follow=True).content.decode()
    assert "4 keyed in. 1 of them on no list yet" in answer
    came = Attendance.objects.filter(time=tonight.time).values_list("person__identifier", "outcome", "ward")
    assert sorted(came) == [(who, "attended", "Maple") for who in ("00417", "00938", "01200", "B-77")]


def test_an_empty_sheet_is_refused(ines, tonight):
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/key-in/", {"lines": " \n"})
    assert answer.status_code == 422 and "Nobody is ticked" in answer.content.decode()


def test_a_name_struck_with_a_reason_no_longer_counts(ines, tonight, staff):
    from browline.duties.sessions.signing_in import sign_in
    from browline.store.models import Attendance, SignIn

    sign_in(tonight, "00938", "phone", actor="phone")
    said = SignIn.objects.get()
    address = f"/teaching/sessions/{tonight.pk}/strike/"
    assert ines.post(address, {"said": said.pk, "why": ""}).status_code == 422
    answer = ines.post(address, {"said": said.pk, "why": "went home ill"}, follow=True)
    assert "Bram Copeden was struck (phone)" in answer.content.decode()
    assert not Attendance.objects.filter(time=tonight.time).exists()


def test_the_part_looked_up_anew_holds_who_is_here_and_no_form(ines, tonight):
    from browline.duties.sessions.signing_in import sign_in

    sign_in(tonight, "00938", "phone", actor="phone")
    part = ines.get(f"/teaching/sessions/{tonight.pk}/here/").content.decode()
    assert "Here: 1" in part and "Bram Copeden" in part
    assert "<form" not in part and "<html" not in part


def test_a_session_is_moved_then_held_and_then_stays(ines, tonight):
    later = (tonight.time + timedelta(hours=3)).strftime(WHEN)
    moved = {"time": later, "minutes": 30, "ward": "Oak", "read": tonight.time.isoformat()}
    assert "Moved" in ines.post(f"/teaching/sessions/{tonight.pk}/move/", moved, follow=True).content.decode()
    twice = ines.post(f"/teaching/sessions/{tonight.pk}/move/", moved)
    assert twice.status_code == 422 and "changed in the meantime" in twice.content.decode()
    assert ines.post(f"/teaching/sessions/{tonight.pk}/held/", follow=True).status_code == 200
    assert ines.post(f"/teaching/sessions/{tonight.pk}/cancel/", {"reason": "no room"}).status_code == 422


def test_a_session_that_people_came_to_is_not_cancelled(ines, tonight):
    from browline.duties.sessions.signing_in import sign_in

    sign_in(tonight, "00938", "phone", actor="phone")
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/cancel/", {"reason": "no room"})
    assert answer.status_code == 422 and "People have signed in" in answer.content.decode()


def test_a_cancelled_session_shows_no_code(ines, tonight):
    ines.post(f"/teaching/sessions/{tonight.pk}/cancel/", {"reason": "no room"})
    assert tonight.code not in page(ines, tonight)


def test_the_sheet_is_a_pdf_with_the_expected_names(ines, tonight):
    from io import BytesIO

    from pypdf import PdfReader

    answer = ines.get(f"/teaching/sessions/{tonight.pk}/sheet.pdf")
    text = " ".join(p.extract_text() for p in PdfReader(BytesIO(answer.content)).pages)
    assert "Bram Copeden" in text and "Maple" in text
