"""Sessions as a duty: codes, windows, and attendances that a file brought before."""

from datetime import UTC, datetime, timedelta

import pytest

TIME = datetime(2026, 3, 7, 21, 30, tzinfo=UTC)


def test_codes_have_six_signs_that_cannot_be_mistaken_and_differ():
    from browline.duties.sessions import ALPHABET, new_code

    codes = {new_code() for _ in range(2000)}
    assert all(len(code) == 6 and set(code) <= set(ALPHABET) for code in codes)
    assert not set("0O1IL5S2Z8BUVAE") & set(ALPHABET)
    assert len(codes) > 1990, "21^6 is 86 million: a double among 2,000 has a chance of about 0.02"


def test_every_sign_of_the_alphabet_comes_up_at_every_place():
    from browline.duties.sessions import ALPHABET, new_code

    codes = [new_code() for _ in range(1500)]
    assert all({code[place] for code in codes} == set(ALPHABET) for place in range(6))


def test_a_code_in_use_is_drawn_again(book, monkeypatch):
    from browline.duties import sessions

    drawn = iter(["CCCCCC", "CCCCCC", "DDDDDD"])
    monkeypatch.setattr(sessions, "new_code", lambda: next(drawn))
    made = [sessions.plan_session(TIME, actor="educator").code for _ in range(2)]
    assert made == ["CCCCCC", "DDDDDD"]


@pytest.mark.parametrize(
    ("minutes_after_start", "open_"),
    [(-31, False), (-30, True), (0, True), (20 + 120, True), (20 + 121, False)],
)
def test_people_can_sign_in_from_half_an_hour_before_to_two_hours_after(book, minutes_after_start, open_):
    from browline.duties.sessions import is_open, plan_session

    session = plan_session(TIME, minutes=20, actor="educator")
    assert is_open(session, TIME + timedelta(minutes=minutes_after_start)) is open_


def test_every_deed_leaves_its_event(book):
    from browline.duties.sessions import cancel, mark_held, move, open_again, plan_session
    from browline.store.models import Event

    session = plan_session(TIME, ward="Maple", actor="Ines")
    move(session.pk, TIME + timedelta(days=1), minutes=30, ward="Oak", read=TIME, actor="Ines")
    open_again(session.pk, TIME + timedelta(days=2), "Ines")
    mark_held(session.pk, "Ines")
    cancel(plan_session(TIME, actor="Ines").pk, "no room", "Ines")
    assert list(Event.objects.order_by("id").values_list("verb", flat=True)) == [
        "session-planned", "session-moved", "session-open-until", "session-held",
        "session-planned", "session-cancelled",
    ]  # fmt: skip


def test_a_session_planned_where_a_file_had_attendances_keeps_them_when_a_phone_is_struck(book):
    from browline.duties.sessions import plan_session
    from browline.duties.sessions.matching import unlisted
    from browline.duties.sessions.signing_in import sign_in, strike
    from browline.store.models import Attendance

    hana = unlisted("00417")
    Attendance.objects.create(person=hana, time=TIME, ward="Maple", outcome="attended")
    session = plan_session(TIME, ward="Maple", actor="educator")
    sign_in(session, "00417", "phone", actor="phone")
    strike(session, hana.pk, "phone", "not hers", actor="educator")
    assert Attendance.objects.get().person == hana


@pytest.mark.parametrize("minutes", [0, -5, 12 * 60 + 1])
def test_a_session_of_no_sensible_length_is_refused(book, minutes):
    from browline.duties.sessions import plan_session
    from browline.errors import NotUnderstood

    with pytest.raises(NotUnderstood):
        plan_session(TIME, minutes=minutes, actor="educator")
