"""What phones post is read so that nothing in it breaks a page: the three doors for it, and the pages that show it."""

import json
from uuid import uuid4

import pytest
from django.test import RequestFactory
from django.utils import timezone

from browline.errors import InputRefused
from browline.web.json_posts import posted_fields

DEEP = "[" * 100_000
WRONG = {
    "nothing": " ",
    "no JSON": "not json",
    "no UTF-8": b"\xff\xfe",
    "no object": "[]",
    "a text": '"x"',
    "nested without end": DEEP,
    "nested in a field": '{"key": ' + DEEP,
    "no number": '{"key": NaN}',
    "without end": '{"key": "x", "second": Infinity}',
    "a number": '{"key": "x", "person": 7}',
    "an object in it": '{"key": "x", "person": {}}',
    "a list of lists": '{"key": "x", "taught_steps": [["lens"]]}',
    "half a pair of surrogates": '{"key": "x", "taught": "\\ud800"}',
    "half a pair in a name": '{"key": "x", "\\udfff": "x"}',
    "NUL": '{"key": "x", "taught": "a\\u0000b"}',
    "NUL in a list": '{"key": "x", "taught_steps": ["a\\u0000b"]}',
    "too large": json.dumps({"key": "x" * 1_100_000}),
}


def posted(body, path="/x/"):
    return RequestFactory().post(path, body, content_type="application/json")


@pytest.mark.parametrize("body", WRONG.values(), ids=WRONG)
def test_what_is_no_filled_in_form_is_refused(body):
    with pytest.raises(InputRefused):
        posted_fields(posted(body), 1_000_000)


def test_texts_and_lists_of_texts_are_read_as_they_are():
    fields = {
        "key": "x",
        "taught": "“the lens” 😀",
        "taught_steps": ["lens", "path"],
        "none": [],
        "empty": "",
    }
    assert posted_fields(posted(json.dumps(fields)), 1000) == fields
    assert posted_fields(posted(json.dumps(fields, ensure_ascii=False)), 1000) == fields


def test_a_body_of_just_the_largest_size_is_read():
    body = json.dumps({"key": "x" * 90})
    assert posted_fields(posted(body), len(body))["key"] == "x" * 90
    with pytest.raises(InputRefused, match="too large"):
        posted_fields(posted(body), len(body) - 1)


@pytest.fixture
def doors(ines):
    """Each address that takes a phone's record, with the educator's browser."""
    from browline.services.training.sessions import plan_session

    code = plan_session(timezone.now(), ward="Maple", actor="educator").code
    return ines, ["/observe/record/", "/round/keep/", f"/here/{code}/"]


@pytest.mark.parametrize("body", WRONG.values(), ids=WRONG)
def test_every_door_answers_in_json_that_it_was_not_kept(doors, body):
    client, addresses = doors
    for address in addresses:
        answer = client.post(address, body, content_type="application/json")
        assert answer.status_code in (400, 422), address
        assert (
            answer.json()["kept"] is False and answer.json()["waiting"] is False and answer.json()["sentence"]
        )


STRANGE = {
    "the first moment": {"at": "0001-01-01T00:00+14:00"},
    "the last moment": {"at": "9999-12-31T23:59:59-14:00"},
    "sent at the last moment": {"sent": "9999-12-31T23:59:59-14:00"},
    "a number too large": {"person": "9" * 30, "assessor": "9" * 30, "checklist": "9" * 30},
    "a number too long": {"person": "9" * 5000, "checklist": "9" * 5000},
    "lists for texts": {"person": ["1"], "assessor": ["1"], "checklist": ["1"], "at": ["1"], "key": ["1"]},
    "no steps": {"step-dance": "done"},
}


@pytest.mark.parametrize("strange", STRANGE.values(), ids=STRANGE)
def test_whatever_a_record_says_it_waits_and_the_page_for_all_that_wait_opens(ines, strange):
    now = timezone.now().isoformat()
    record = {
        "key": str(uuid4()),
        "person": "1",
        "assessor": "1",
        "checklist": "1",
        "at": now,
        "method": "patient",
    }
    body = json.dumps(record | strange)
    answer = ines.post("/observe/record/", body, content_type="application/json")
    assert answer.json()["waiting"]
    assert ines.get("/teaching/demonstrations/waiting/").status_code == 200


def test_what_waited_in_the_book_before_is_shown_whatever_it_says(ines):
    from browline.store.models import Event

    for value in (7, 7.5, 1e400, None, True, [], {}, ["x"], {"a": 1}, "9" * 5000):
        told = dict.fromkeys(
            ("person", "assessor", "second", "checklist", "at", "taught_steps", "step-path"), value
        )
        Event.objects.create(
            actor="assessor omar", verb="demonstration-refused", subject="x",
            data={"payload": told if value != 1e400 else {}, "came": "a", "wanted": "b", "do": "c"},
        )  # fmt: skip
    assert ines.get("/teaching/demonstrations/waiting/").status_code == 200


@pytest.mark.parametrize("value", [7, 10**30, 7.5, True, [], [{}], [["x"]], {"a": 1}, "x"])
def test_any_value_is_read_or_refused(book, value):
    from browline.errors import Refusal
    from browline.services.training.demonstrations.submissions import read, taught

    now = timezone.now()
    for name in (
        "person",
        "assessor",
        "second",
        "checklist",
        "at",
        "sent",
        "taught_steps",
        "taught",
        "method",
        "key",
    ):
        whole = {"key": str(uuid4()), "person": "1", "assessor": "1", "checklist": "1", "at": now.isoformat()}
        try:
            read(whole | {name: value}, now)
        except Refusal:
            continue
    assert taught({"taught_steps": [value, "lens"]}, _checklist()) == "clean lens"


def _checklist():
    from browline.services.materials import documents

    return documents.stored("checklist", timezone.localdate()).pk


def test_a_round_of_another_age_is_refused_and_not_a_fault(ines):
    round_ = {
        "at": "0001-01-01T00:00:00+00:00",
        "sent": "9999-12-31T00:00:00+00:00",
        "name-1": "FS-01",
        "state-1": "present",
    }
    answer = ines.post("/round/keep/", json.dumps(round_), content_type="application/json")
    assert answer.status_code == 422 and answer.json()["kept"] is False
