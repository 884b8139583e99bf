"""Signing in on a phone: by the code, while the session is open, one after another, also late from an outbox."""

import json
from datetime import timedelta

import pytest
from django.utils import timezone


@pytest.fixture
def tonight(book):
    """A session on Maple that began ten minutes ago, and Hana, who is on the list."""
    from browline.services.training.sessions import plan_session
    from browline.services.training.sessions.matching import put_on_list, unlisted

    put_on_list(unlisted("00417").pk, name="Hana Alderley", actor="educator")
    return plan_session(timezone.now() - timedelta(minutes=10), ward="Maple", actor="educator")


def came():
    from browline.store.models import Attendance

    return sorted(Attendance.objects.values_list("person__identifier", flat=True))


def sent(visitor, tonight, identifier, minutes_ago=0, **more):
    now = timezone.now()
    told = {
        "key": "a", "at": (now - timedelta(minutes=minutes_ago)).isoformat(), "sent": now.isoformat(),
        "identifier": identifier, **more,
    }  # fmt: skip
    return visitor.post(f"/here/{tonight.code}/", json.dumps(told), content_type="application/json")


def test_nobody_needs_a_pass_and_the_code_may_be_typed_in_small_letters(visitor, tonight):
    typed = visitor.post("/here/", {"code": f" {tonight.code[:3].lower()} {tonight.code[3:].lower()}"})
    assert typed["Location"] == f"/here/{tonight.code}/"
    answer = visitor.post(f"/here/{tonight.code}/", {"identifier": "00417"}).content.decode()
    assert "You are signed in to the session on Maple" in answer
    assert "you are signed off when somebody has seen you do it" in answer
    assert came() == ["00417"]


def test_no_name_and_no_other_identifier_is_ever_shown(visitor, tonight):
    visitor.post(f"/here/{tonight.code}/", {"identifier": "00417"})
    answer = visitor.post(f"/here/{tonight.code}/", {"identifier": "A-99"}).content.decode()
    assert "Hana" not in answer and "00417" not in answer


def test_the_next_person_can_sign_at_once(visitor, tonight):
    for identifier in ("00417", "00417", "A-99"):
        answer = visitor.post(f"/here/{tonight.code}/", {"identifier": identifier}).content.decode()
        assert "Your staff identifier" in answer
    assert came() == ["00417", "A-99"]


def test_somebody_not_on_the_list_is_taken_and_told_so(visitor, tonight):
    answer = visitor.post(f"/here/{tonight.code}/", {"identifier": "A-99"}).content.decode()
    assert "not on the list: the educator will match it" in answer


@pytest.mark.parametrize("identifier", ["", "   ", "<script>", "x" * 61, "DROP;"])
def test_what_is_no_identifier_is_refused(visitor, tonight, identifier):
    assert visitor.post(f"/here/{tonight.code}/", {"identifier": identifier}).status_code == 422
    assert came() == []


def test_a_wrong_code_opens_nothing(visitor, tonight):
    assert visitor.get("/here/CCCCCC/").status_code == 404
    assert visitor.post("/here/", {"code": "CCCCCC"}).status_code == 404
    assert visitor.post("/here/CCCCCC/", {"identifier": "00417"}).status_code == 404
    assert came() == []


def test_codes_cannot_be_guessed(visitor, tonight):
    from browline.services.training.sessions import wrong_codes

    for number in range(wrong_codes.MOST):
        assert visitor.get(f"/here/CCCC{number:02}/").status_code == 404
    assert visitor.get(f"/here/{tonight.code}/").status_code == 429
    assert visitor.post(f"/here/{tonight.code}/", {"identifier": "00417"}).status_code == 429
    elsewhere = visitor.get(f"/here/{tonight.code}/", REMOTE_ADDR="192.0.2.9")
    assert elsewhere.status_code == 200, "another phone is not held back"


def test_the_code_is_good_only_while_the_session_is_open(visitor, tonight):
    from browline.services.training.sessions import open_again

    open_again(tonight.pk, timezone.now() - timedelta(minutes=1), "educator", now=timezone.now())
    assert visitor.get(f"/here/{tonight.code}/").status_code == 404
    assert visitor.post(f"/here/{tonight.code}/", {"identifier": "00417"}).status_code == 404
    open_again(tonight.pk, timezone.now() + timedelta(hours=1), "educator", now=timezone.now())
    assert visitor.get(f"/here/{tonight.code}/").status_code == 200


@pytest.mark.parametrize(
    ("begins", "answer"), [(-24 * 60, 404), (31, 404), (29, 200), (-139, 200), (-141, 404)]
)
def test_it_opens_half_an_hour_before_and_closes_two_hours_after_its_end(visitor, book, begins, answer):
    from browline.services.training.sessions import plan_session

    session = plan_session(timezone.now() + timedelta(minutes=begins), minutes=20, actor="educator")
    assert visitor.get(f"/here/{session.code}/").status_code == answer


def test_a_cancelled_session_takes_nobody(visitor, tonight):
    from browline.services.training.sessions import cancel

    cancel(tonight.pk, "no room", "educator")
    assert visitor.get(f"/here/{tonight.code}/").status_code == 404


def test_the_outbox_is_answered_as_it_asks(visitor, tonight):
    answer = sent(visitor, tonight, "00417").json()
    assert answer["kept"] is True and answer["waiting"] is False
    assert "You are signed in" in answer["sentence"]
    assert sent(visitor, tonight, "00417").json()["kept"] is True, "it may arrive twice"
    assert sent(visitor, tonight, "<b>").json()["kept"] is False
    assert came() == ["00417"]


def test_what_was_filled_in_without_a_network_counts_though_the_session_has_closed(visitor, tonight):
    from browline.services.training.sessions import open_again

    open_again(tonight.pk, timezone.now() - timedelta(minutes=5), "educator", now=timezone.now())
    assert sent(visitor, tonight, "00417", minutes_ago=7).json()["kept"] is True
    assert sent(visitor, tonight, "A-99", minutes_ago=2).json()["kept"] is False
    assert came() == ["00417"]


def test_a_phone_whose_clock_is_wrong_is_understood_by_its_own_span(visitor, tonight):
    from browline.services.training.sessions import open_again

    open_again(tonight.pk, timezone.now() - timedelta(minutes=5), "educator", now=timezone.now())
    wrong = timezone.now() - timedelta(days=400)
    spans = {"at": wrong.isoformat(), "sent": (wrong + timedelta(minutes=8)).isoformat()}
    assert sent(visitor, tonight, "00417", **spans).json()["kept"] is True


@pytest.mark.parametrize("body", ["[]", "nonsense", '{"at": 5, "sent": []}', '{"identifier": {}}'])
def test_what_the_outbox_never_sends_is_refused_calmly(visitor, tonight, body):
    answer = visitor.post(f"/here/{tonight.code}/", body, content_type="application/json")
    assert answer.status_code == 422 and answer.json()["kept"] is False
    assert came() == []


def test_a_large_form_is_not_read(visitor, tonight):
    answer = visitor.post(f"/here/{tonight.code}/", {"identifier": "x" * 10_000})
    assert answer.status_code == 413


def test_strangers_cannot_fill_the_book(visitor, tonight):
    from browline.services.training.sessions.signing_in import MOST_UNKNOWN

    for number in range(MOST_UNKNOWN + 3):
        answer = visitor.post(f"/here/{tonight.code}/", {"identifier": f"Z{number}"})
    assert answer.status_code == 422 and "on no list" in answer.content.decode()
    assert visitor.post(f"/here/{tonight.code}/", {"identifier": "417"}).status_code == 200
    assert len(came()) == MOST_UNKNOWN + 1
