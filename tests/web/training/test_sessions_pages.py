"""Sessions as Ines sees them: planned, shown with their code, keyed in from paper, held."""

from datetime import timedelta

import pytest
from django.utils import timezone

WHEN = "%Y-%m-%dT%H:%M"


@pytest.fixture
def staff(book):
    """Three people of Maple, two of them on duty now by the roster, one of these reached before."""
    from browline.services.training.sessions.matching import put_on_list, unlisted
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
    from browline.services.training.sessions import plan_session

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


def test_the_page_shows_a_qr_code_while_phones_can_reach_it(ines, tonight):
    from browline.web import phones

    told = {phones.TOLD: "http://192.0.2.20:8737"}
    shown = ines.get(f"/teaching/sessions/{tonight.pk}/", **told).content.decode()
    assert f"http://192.0.2.20:8737/here/{tonight.code}/" in shown
    assert "<svg" in shown and "style=" not in shown.split("<svg")[1].split("</svg>")[0]


def test_the_paper_sheet_is_keyed_in_with_ticks_and_lines(ines, tonight, staff):
    from browline.store.models import Attendance

    said = {"ticked": ["00938"], "lines": "1200\n\nHana Alderley\nB-77\n"}
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/key-in/", said, follow=True).content.decode()
    assert "4 new, 0 were here already. 1 of them on no list yet" in answer
    came = Attendance.objects.filter(time=tonight.time).values_list("person__identifier", "outcome", "ward")
    assert sorted(came) == [(who, "attended", "Maple") for who in ("00417", "00938", "01200", "B-77")]


def test_an_empty_sheet_is_refused(ines, tonight):
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/key-in/", {"lines": " \n"})
    assert answer.status_code == 422 and "Nobody is ticked" in answer.content.decode()


def test_a_name_struck_with_a_reason_no_longer_counts(ines, tonight, staff):
    from browline.services.training.sessions.signing_in import sign_in
    from browline.store.models import Attendance, SignIn

    sign_in(tonight, "00938", "phone", actor="phone")
    said = SignIn.objects.get()
    address = f"/teaching/sessions/{tonight.pk}/strike/"
    assert ines.post(address, {"said": said.pk, "why": ""}).status_code == 422
    answer = ines.post(address, {"said": said.pk, "why": "went home ill"}, follow=True)
    assert "Bram Copeden (00938) was struck (phone)" in answer.content.decode()
    assert not Attendance.objects.filter(time=tonight.time).exists()


def test_the_part_looked_up_anew_holds_who_is_here_and_no_form(ines, tonight):
    from browline.services.training.sessions.signing_in import sign_in

    sign_in(tonight, "00938", "phone", actor="phone")
    part = ines.get(f"/teaching/sessions/{tonight.pk}/here/").content.decode()
    assert "Here: 1" in part and "Bram Copeden" in part
    assert "<form" not in part and "<html" not in part


def test_a_session_is_moved_then_held_and_then_stays(ines, tonight):
    earlier = (tonight.time - timedelta(hours=3)).strftime(WHEN)
    moved = {"time": earlier, "minutes": 30, "ward": "Oak", "read": tonight.time.isoformat()}
    assert "Moved" in ines.post(f"/teaching/sessions/{tonight.pk}/move/", moved, follow=True).content.decode()
    twice = ines.post(f"/teaching/sessions/{tonight.pk}/move/", moved)
    assert twice.status_code == 422 and "changed in the meantime" in twice.content.decode()
    assert ines.post(f"/teaching/sessions/{tonight.pk}/held/", follow=True).status_code == 200
    assert ines.post(f"/teaching/sessions/{tonight.pk}/cancel/", {"reason": "no room"}).status_code == 422


def test_a_session_that_people_came_to_is_not_cancelled(ines, tonight):
    from browline.services.training.sessions.signing_in import sign_in

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


def test_a_line_that_cannot_be_taken_comes_back_with_its_reason_and_the_others_are_kept(ines, tonight, staff):
    from browline.services.training.sessions.matching import put_on_list, unlisted
    from browline.services.training.sessions.signing_in import sign_in
    from browline.store.models import Attendance

    put_on_list(unlisted("01300").pk, name="Una Fenwick", ward="Oak", actor="educator")
    sign_in(tonight, "00417", "phone", actor="phone")
    said = {"ticked": ["00938"], "lines": "417\nDROP;\nUna Fenwick\n1200"}
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/key-in/", said)
    shown = answer.content.decode()
    assert answer.status_code == 422 and "2 new, 1 was here already" in shown
    assert "Not taken: DROP;. That is no staff identifier" in shown
    assert "01200 (Maple), 01300 (Oak)" in shown
    left = shown.split("<textarea")[1].split("</textarea>")[0]
    assert "DROP;" in left and "Una Fenwick" in left and "1200" not in left
    came = Attendance.objects.filter(time=tonight.time).values_list("person__identifier", flat=True)
    assert sorted(came) == ["00417", "00938", "01200"]


def test_somebody_ticked_who_signed_in_by_phone_meanwhile_spoils_nothing(ines, tonight, staff):
    from browline.services.training.sessions.signing_in import sign_in

    sign_in(tonight, "00938", "phone", actor="phone")
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/key-in/", {"ticked": ["00938"]}, follow=True)
    assert answer.status_code == 200 and "0 new, 1 was here already" in answer.content.decode()


def test_somebody_is_struck_in_every_way_at_once(ines, tonight, staff):
    from browline.services.training.sessions.signing_in import sign_in
    from browline.store.models import Attendance, Event

    for how in ("phone", "paper"):
        sign_in(tonight, "00938", how, actor="educator")
    assert "Bram Copeden (00938) (every way: phone, paper)" in page(ines, tonight)
    said = {"said": f"all-{staff['00938'].pk}", "why": "went home ill"}
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/strike/", said, follow=True).content.decode()
    assert "Bram Copeden (00938) was struck (phone, paper)" in answer and "Here: 0" in answer
    assert not Attendance.objects.filter(time=tonight.time).exists()
    assert Event.objects.filter(verb="sign-in-struck").count() == 2


def test_a_session_still_to_come_cannot_be_marked_as_held_and_a_held_one_can_be_planned_again(ines, staff):
    from browline.services.training.sessions import plan_session

    coming = plan_session(timezone.now() + timedelta(days=5), actor="educator")
    assert "Mark as held" not in page(ines, coming)
    answer = ines.post(f"/teaching/sessions/{coming.pk}/held/")
    assert answer.status_code == 422 and "has not begun" in answer.content.decode()
    past = plan_session(timezone.now() - timedelta(days=1), actor="educator")
    ines.post(f"/teaching/sessions/{past.pk}/held/")
    assert "It was not held" in page(ines, past)
    ines.post(f"/teaching/sessions/{past.pk}/not-held/")
    assert "Mark as held" in page(ines, past)


def test_a_session_opened_days_before_says_until_when_and_opens_again_on_its_day(ines, visitor, staff):
    from browline.services.training.sessions import plan_session

    noon = timezone.localtime().replace(hour=12, minute=0) + timedelta(days=5)
    coming = plan_session(noon, ward="Maple", actor="educator")
    assert "Not open now" in page(ines, coming)
    ines.post(f"/teaching/sessions/{coming.pk}/open-again/", {"hours": "2"})
    assert "Open until" in page(ines, coming)
    assert visitor.get(f"/here/{coming.code}/").status_code == 200
    ines.post(f"/teaching/sessions/{coming.pk}/open-again/", {"hours": "0"})
    shown = page(ines, coming)
    day = f"{noon:%d %b %Y}"
    assert f"it opens {day}" in shown and f"and closes {day}" in shown


@pytest.mark.parametrize(
    "time", ["9999-12-31T23:59", "0001-01-01T00:00", "1999-12-31T10:00", "2060-01-01T10:00"]
)
@pytest.mark.parametrize("zone", ["America/New_York", "Asia/Tokyo", ""])
def test_a_session_of_another_age_is_refused_in_words(ines, tonight, time, zone):
    from browline.services.book.change_preference import set_choice

    if zone:
        set_choice("zone", zone, "educator")
    planned = ines.post("/teaching/sessions/", {"time": time, "minutes": 20})
    assert planned.status_code == 422 and "The year" in planned.content.decode()
    moved = {"time": time, "minutes": 20, "read": tonight.time.isoformat()}
    assert ines.post(f"/teaching/sessions/{tonight.pk}/move/", moved).status_code == 422
    assert page(ines, tonight)


@pytest.mark.parametrize("read", ["x", "", "2026-03-07T21:30"])
def test_a_page_that_lost_what_it_showed_is_told_to_be_opened_again(ines, tonight, read):
    moved = {"time": "2026-03-08T21:30", "minutes": 20, "read": read}
    answer = ines.post(f"/teaching/sessions/{tonight.pk}/move/", moved)
    assert answer.status_code == 422 and "Open it again" in answer.content.decode()


def test_an_hour_that_the_clocks_skip_is_refused_in_words(ines):
    """01:30 on 29 March 2026 does not exist in London (rule of the EU and UK: last Sunday of March, 01:00 UTC)."""
    from browline.services.book.change_preference import set_choice

    set_choice("zone", "Europe/London", "educator")
    answer = ines.post("/teaching/sessions/", {"time": "2026-03-29T01:30", "minutes": 20})
    shown = answer.content.decode()
    assert answer.status_code == 422 and "The clocks change at this hour" in shown
    assert "interpreted" not in shown


def test_entitling_by_a_name_that_two_have_asks_for_the_identifier(ines, staff):
    from browline.services.training.sessions.matching import put_on_list, unlisted
    from browline.store.models import AssessorStanding

    put_on_list(unlisted("01300").pk, name="Una Fenwick", ward="Oak", actor="educator")
    said = {"person": "Una Fenwick", "start": "2026-03-01", "qualification": "ward educator"}
    answer = ines.post("/teaching/demonstrations/assessors/", said)
    assert answer.status_code == 422 and "01200 (Maple), 01300 (Oak)" in answer.content.decode()
    assert not AssessorStanding.objects.exists()
