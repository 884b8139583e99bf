"""Sessions as a duty: codes, windows, and attendances that a file brought before."""

from datetime import UTC, datetime, timedelta

import pytest

TIME = datetime(2026, 3, 7, 21, 30, tzinfo=UTC)


def test_codes_have_six_signs_that_cannot_be_mistaken_and_differ():
    from browline.services.training.sessions import ALPHABET, new_code

    codes = {new_code() for _ in range(2000)}
    assert all(len(code) == 6 and set(code) <= set(ALPHABET) for code in codes)
    assert not set("0O1IL5S2Z8BUVAE") & set(ALPHABET)
    assert len(codes) > 1990, "21^6 is 86 million: a double among 2,000 has a chance of about 0.02"


def test_every_sign_of_the_alphabet_comes_up_at_every_place():
    from browline.services.training.sessions import ALPHABET, new_code

    codes = [new_code() for _ in range(1500)]
    assert all({code[place] for code in codes} == set(ALPHABET) for place in range(6))


def test_a_code_in_use_is_drawn_again(book, monkeypatch):
    from browline.services.training import sessions

    drawn = iter(["CCCCCC", "CCCCCC", "DDDDDD"])
    monkeypatch.setattr(sessions, "new_code", lambda: next(drawn))
    made = [sessions.plan_session(TIME, actor="educator").code for _ in range(2)]
    assert made == ["CCCCCC", "DDDDDD"]


@pytest.mark.parametrize(
    ("minutes_after_start", "open_"),
    [(-31, False), (-30, True), (0, True), (20 + 120, True), (20 + 121, False)],
)
def test_people_can_sign_in_from_half_an_hour_before_to_two_hours_after(book, minutes_after_start, open_):
    from browline.services.training.sessions import is_open, plan_session

    session = plan_session(TIME, minutes=20, actor="educator")
    assert is_open(session, TIME + timedelta(minutes=minutes_after_start)) is open_


def test_every_deed_leaves_its_event(book):
    from browline.services.training.sessions import (
        cancel,
        mark_done,
        move,
        open_again,
        plan_session,
        take_back_done,
    )
    from browline.store.models import Event

    session = plan_session(TIME, ward="Maple", actor="Ines")
    move(session.pk, TIME + timedelta(days=1), minutes=30, ward="Oak", read=TIME, actor="Ines")
    open_again(session.pk, TIME + timedelta(days=2), "Ines", now=TIME)
    mark_done(session.pk, "Ines", now=TIME + timedelta(days=1))
    take_back_done(session.pk, "Ines")
    cancel(plan_session(TIME, actor="Ines").pk, "no room", "Ines")
    assert list(Event.objects.order_by("id").values_list("verb", flat=True)) == [
        "session-planned", "session-moved", "session-open-until", "session-held", "session-not-held",
        "session-planned", "session-cancelled",
    ]  # fmt: skip


def test_a_session_planned_where_a_file_had_attendances_keeps_them_when_a_phone_is_struck(book):
    from browline.services.training.sessions import plan_session
    from browline.services.training.sessions.matching import unlisted
    from browline.services.training.sessions.signing_in import sign_in
    from browline.services.training.sessions.striking import strike
    from browline.store.models import Attendance

    hana = unlisted("00417")
    Attendance.objects.create(person=hana, time=TIME, ward="Maple", outcome="attended")
    session = plan_session(TIME, ward="Maple", actor="educator")
    sign_in(session, "00417", "phone", actor="phone")
    strike(session, hana.pk, "phone", "not hers", actor="educator")
    assert Attendance.objects.get().person == hana


@pytest.mark.parametrize("minutes", [0, -5, 12 * 60 + 1])
def test_a_session_of_no_sensible_length_is_refused(book, minutes):
    from browline.errors import NotUnderstood
    from browline.services.training.sessions import plan_session

    with pytest.raises(NotUnderstood):
        plan_session(TIME, minutes=minutes, actor="educator")


def test_a_session_opened_days_before_is_open_for_that_while_and_again_on_its_day(book):
    from browline.services.training.sessions import is_open, open_again, plan_session

    session = plan_session(TIME, minutes=20, actor="educator")
    now = TIME - timedelta(days=5)
    open_again(session.pk, now + timedelta(hours=2), "educator", now=now)
    session.refresh_from_db()
    assert is_open(session, now + timedelta(hours=1)) and not is_open(session, now + timedelta(hours=3))
    assert is_open(session, TIME - timedelta(minutes=30)) and is_open(session, TIME + timedelta(minutes=140))
    assert not is_open(session, TIME + timedelta(minutes=141))


def test_a_session_opened_for_a_while_that_reaches_into_its_own_time_stays_open_through_it(book):
    from browline.services.training.sessions import is_open, open_again, plan_session

    session = plan_session(TIME, minutes=20, actor="educator")
    now = TIME - timedelta(hours=2)
    open_again(session.pk, TIME + timedelta(minutes=10), "educator", now=now)
    session.refresh_from_db()
    assert is_open(session, now + timedelta(minutes=1)) and is_open(session, TIME + timedelta(minutes=140))


def test_a_session_opened_again_after_it_closed_or_closed_early_does_as_it_is_told(book):
    from browline.services.training.sessions import is_open, open_again, plan_session

    session = plan_session(TIME, minutes=20, actor="educator")
    for until in (TIME + timedelta(minutes=5), TIME + timedelta(hours=12)):
        open_again(session.pk, until, "educator", now=TIME + timedelta(minutes=5))
        session.refresh_from_db()
        assert is_open(session, until) and not is_open(session, until + timedelta(minutes=1))


def test_what_a_phone_filled_in_while_it_was_opened_early_counts_until_a_day_later(book):
    from browline.services.training.sessions import open_again, plan_session
    from browline.services.training.sessions.signing_in import may_sign_in

    session = plan_session(TIME, actor="educator")
    now = TIME - timedelta(days=5)
    open_again(session.pk, now + timedelta(hours=2), "educator", now=now)
    session.refresh_from_db()
    filled_in = now + timedelta(hours=1)
    assert may_sign_in(session, now + timedelta(hours=5), filled_in)
    assert not may_sign_in(session, now + timedelta(hours=27), filled_in)


def test_a_session_is_not_held_before_it_begins_and_a_slip_is_taken_back(book):
    from browline.errors import InputRefused
    from browline.services.training.sessions import mark_done, plan_session, take_back_done

    session = plan_session(TIME, actor="educator")
    with pytest.raises(InputRefused, match="not begun"):
        mark_done(session.pk, "educator", now=TIME - timedelta(days=5))
    mark_done(session.pk, "educator", now=TIME)
    take_back_done(session.pk, "educator")
    session.refresh_from_db()
    assert session.state == session.PLANNED
    with pytest.raises(InputRefused):
        take_back_done(session.pk, "educator")


@pytest.mark.parametrize("year", [1, 1999, 2101, 9999])
def test_a_session_of_another_age_is_refused(book, year):
    from browline.errors import NotUnderstood
    from browline.services.training.sessions import move, plan_session

    far = TIME.replace(year=year)
    with pytest.raises(NotUnderstood, match="year"):
        plan_session(far, actor="educator")
    with pytest.raises(NotUnderstood, match="year"):
        move(plan_session(TIME, actor="educator").pk, far, minutes=20, ward="", read=TIME, actor="educator")
