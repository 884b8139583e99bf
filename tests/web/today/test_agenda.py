"""What the day asks for in teaching: on Today and on Teaching, each with its reason and where it is done."""

from datetime import timedelta

import pytest
from django.utils import timezone

from approving import new_version


def _session(**facts):
    from browline.store.models import Session

    told = {"time": timezone.now() + timedelta(hours=2), "ward": "Larch", "code": "CDFGHJ"}
    return Session.objects.create(**told | facts)


def _somebody(**facts):
    from browline.store.models import Person

    told = {
        "identifier": "00417",
        "name": "Omar",
        "role": "Registered nurse",
        "ward": "Larch",
        "pseudonym": 7,
    }
    return Person.objects.create(**told | facts)


def _on_tonight(person):
    from browline.services.training.coverage import coming_night
    from browline.store.models import Shift

    start = coming_night(timezone.now()) - timedelta(hours=2)
    Shift.objects.create(
        person=person, date=start.date(), ward="Larch", code="N", kind="night", start=start,
        end=start + timedelta(hours=12),
    )  # fmt: skip


@pytest.fixture(params=["/", "/teaching/"])
def page(ines, request):
    return lambda: ines.get(request.param).content.decode()


def test_an_empty_book_asks_for_nothing(page):
    assert "errand" not in page()


def test_a_session_within_a_day_is_to_be_held(page):
    session = _session()
    assert "Hold the session on Larch" in page() and f"/teaching/sessions/{session.pk}/" in page()


def test_a_session_that_is_over_is_to_be_closed(page):
    _session(time=timezone.now() - timedelta(hours=8))
    assert "Close the session on Larch" in page()


@pytest.mark.parametrize("state", ["held", "cancelled"])
def test_a_session_that_is_settled_asks_for_nothing(page, state):
    _session(time=timezone.now() - timedelta(hours=8), state=state)
    assert "Close the session" not in page() and "Hold the session" not in page()


def test_who_is_on_tonight_without_a_sign_off_is_counted(page):
    _on_tonight(_somebody())
    assert (
        "Of 1 person on duty tonight, 1 is not signed off" in page() and "/teaching/who-can-do-it/" in page()
    )


def test_a_roster_that_runs_out_is_said(page):
    _on_tonight(_somebody())
    assert "The roster end" in page()


def test_a_name_on_no_list_is_to_be_matched(page, book):
    from browline.services.training.sessions.signing_in import sign_in

    sign_in(_session(), "Agency 3", "phone", actor="phone")
    assert "1 name is on no staff list" in page()


def test_a_draft_is_to_be_approved_once_teaching_has_begun(page):
    assert "drafts" not in page()
    _session(state="held")
    assert "6 documents are drafts" in page() and "Checklist of the return demonstration" in page()


def test_a_document_that_expires_soon_is_to_be_renewed(page):
    from browline.services.materials import documents

    _session(state="held")
    today = timezone.localdate()
    whole = documents.Approval("Ines", "house rules", today, today + timedelta(days=9))
    new_version("checklist", documents.latest("checklist").body, whole, read=1, actor="Ines")
    shown = page()
    assert "Renew by" in shown and "5 documents are drafts" in shown


def test_a_document_approved_before_lines_were_shown_is_to_be_read_again(page):
    from browline.services.materials import documents
    from browline.store.models import ControlledDocument

    _session(state="held")
    today = timezone.localdate()
    whole = documents.Approval("Ines", "house rules", today, today + timedelta(days=99))
    body = documents.latest("pocket-card").body
    ControlledDocument.objects.create(kind="pocket-card", version=2, body=body, actor="ines", **vars(whole))
    shown = page()
    assert (
        "Read again and have approved: Pocket card and poster." in shown and "5 documents are drafts" in shown
    )


def test_a_record_that_waits_comes_first(page):
    from browline.services.training.demonstrations.pending import receive

    _session()
    receive({"key": "not a key"}, bearer=None, actor="assessor 00417", now=timezone.now())
    shown = page()
    assert shown.index("1 record from a phone waits") < shown.index("Hold the session")


def test_teaching_leads_to_every_page_of_it(ines):
    shown = ines.get("/teaching/").content.decode()
    for address in ("/teaching/roster/", "/teaching/staff/", "/teaching/plan/", "/observe/", "/questions/"):
        assert address in shown
    assert "Begin with the staff" in shown


def test_with_staff_on_the_list_the_beginning_is_not_explained(ines):
    _somebody()
    assert "Begin with the staff" not in ines.get("/teaching/").content.decode()


def test_a_late_record_that_raises_a_question_is_said(page, monkeypatch):
    from browline.services import agenda

    monkeypatch.setattr(agenda, "clashes", lambda: ["one", "two"])
    assert "2 late records raise a question" in page()
