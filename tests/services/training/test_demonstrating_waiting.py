"""What a phone sends: kept, or waiting with its reason; nothing lost, nothing twice, in whatever order."""

import random
import threading
from datetime import date, timedelta
from uuid import UUID

import pytest
from django.db import connections

import invented_demonstrations as cast
from browline.errors import Refusal
from browline.services.materials import documents
from browline.services.training.demonstrations import pending as duty
from browline.services.training.demonstrations.assessors import entitle
from browline.services.training.demonstrations.pending import put_by, receive, take, waiting
from browline.store.models import Attendance, Demonstration, Event, Person
from invented_demonstrations import CURVED, DAY, MONDAY, WHOLE, who


@pytest.fixture(autouse=True)
def ward(book):
    cast.a_ward()


def sent(number=1, *, person="ana", assessor="omar", steps=WHOLE, at=MONDAY, **more):
    """A phone's record, as the outbox posts it."""
    told = {
        "key": str(UUID(int=number)),
        "checklist": str(documents.stored("checklist", date(2026, 1, 1)).pk),
        "person": str(who(person)) if person else "",
        "assessor": str(who(assessor)),
        "second": "",
        "method": "patient",
        "ward": "Larch",
        "at": at.isoformat(),
        **{f"step-{step}": mark for step, mark in steps.items()},
    }
    return told | more


def received(payload, bearer="omar", now=MONDAY):
    return receive(payload, bearer=who(bearer) if bearer else None, actor=f"assessor {bearer}", now=now)


def test_a_record_from_a_phone_is_kept():
    answer = received(sent(taught="the lens", taught_steps=["path"], instrument="FS-07"))
    assert (answer.kept, answer.waiting) == (True, False)
    made = Demonstration.objects.get()
    assert (made.taught, made.instrument, made.time) == ("straight path, in touch. the lens", "FS-07", MONDAY)


def test_what_cannot_be_kept_waits_and_is_taken_once_it_is_put_right():
    answer = received(sent(assessor="ben"), bearer="ben")
    assert (answer.kept, answer.waiting) == (False, True)
    assert answer.sentence.startswith("It waits for the educator, nothing is lost. Ben Okafor is not entered")
    entitle(who("ben"), start=date(2026, 3, 1), end=None, qualification=cast.GROUND, actor="Ines")
    taken = take(waiting()[0].pk, {}, "", actor="educator", now=MONDAY + DAY)
    assert taken.demonstration.assessor.identifier == "ben"
    assert waiting() == []


def test_what_still_cannot_be_kept_goes_on_waiting():
    received(sent(assessor="ben"), bearer="ben")
    with pytest.raises(Refusal, match="not entered"):
        take(waiting()[0].pk, {}, "", actor="educator", now=MONDAY)
    assert len(waiting()) == 1 and not Demonstration.objects.exists()


def test_somebody_not_on_the_list_waits_until_it_is_known_who_it_was():
    received(sent(person=None, person_typed="A-77"))
    event = waiting()[0]
    assert "'A-77'" in event.data["came"]
    with pytest.raises(Refusal, match="No reason"):
        take(event.pk, {"person": who("ana")}, "", actor="educator", now=MONDAY)
    taken = take(event.pk, {"person": who("ana")}, "A-77 is Ana’s old badge.", actor="educator", now=MONDAY)
    assert (taken.demonstration.person.identifier, taken.demonstration.reason) == (
        "ana", "A-77 is Ana’s old badge.",
    )  # fmt: skip


def test_somebody_typed_in_who_is_in_the_book_is_found():
    Person.objects.create(identifier="A-77", pseudonym=77)
    assert received(sent(person=None, person_typed=" A-77 ")).kept


@pytest.mark.parametrize(
    ("wrong", "match"),
    [
        ({"person": None, "person_typed": ""}, "does not say who"),
        ({"at": "this morning"}, "does not say when"),
        ({"at": "2026-03-02T09:00:00"}, "does not say when"),
        ({"sent": (MONDAY + timedelta(minutes=30)).isoformat()}, "clock of this phone is 30 minutes ahead"),
        ({"sent": (MONDAY - timedelta(minutes=45)).isoformat()}, "clock of this phone is 45 minutes behind"),
        ({"at": (MONDAY - 40 * DAY).isoformat(), "sent": MONDAY.isoformat()}, "more than a month ago"),
        ({"at": (MONDAY + DAY).isoformat()}, "still to come"),
        ({"checklist": "999"}, "version of the checklist"),
        ({"checklist": None}, "does not say the checklist"),
        ({"second": "nobody"}, "does not say the second"),
        ({"person": "999"}, "not in the book"),
        ({"step-path": ["done"]}, "marked"),
        ({"method": "letter"}, "method"),
    ],
)
def test_whatever_is_wrong_with_it_nothing_is_lost(wrong, match):
    answer = received(sent() | wrong)
    assert (answer.kept, answer.waiting) == (False, True)
    assert match in waiting()[0].data["came"]
    assert waiting()[0].data["payload"].items() >= {**sent(), **wrong}.items()


def test_the_clock_of_the_phone_is_asked_when_it_comes_and_not_when_it_is_taken():
    received(sent(sent=(MONDAY + timedelta(minutes=30)).isoformat()))
    changes = {"at": (MONDAY - timedelta(minutes=30)).isoformat()}
    taken = take(waiting()[0].pk, changes, "The phone’s clock was wrong.", actor="educator", now=MONDAY + DAY)
    assert taken.demonstration.time == MONDAY - timedelta(minutes=30)


def test_a_pass_records_as_the_person_it_was_made_for():
    answer = received(sent(assessor="omar"), bearer="priya")
    assert answer.waiting and "another assessor than the pass" in answer.sentence
    assert not Demonstration.objects.exists()
    assert received(sent(2, assessor="omar"), bearer=None).kept, (
        "the educator keys in a paper sheet of Omar’s"
    )


def test_a_waiting_record_sent_again_waits_once():
    late = {"sent": (MONDAY + timedelta(minutes=2)).isoformat()}
    answers = [
        received(sent(assessor="ben"), bearer="ben"),
        received(sent(assessor="ben") | late, bearer="ben"),
    ]
    assert answers[0] == answers[1]
    assert len(waiting()) == 1


def test_one_key_with_two_contents_keeps_both_one_standing_one_waiting():
    received(sent())
    answer = received(sent(steps=CURVED))
    assert answer.waiting and "something else" in answer.sentence
    assert Demonstration.objects.get().steps == WHOLE
    assert waiting()[0].data["payload"]["step-path"] == "missed"


def test_one_demonstration_from_the_phone_and_from_paper_is_one_record():
    received(sent(1))
    answer = received(sent(2, at=MONDAY + timedelta(minutes=20)), bearer=None)
    assert answer.waiting and "same marks stands on this day already" in answer.sentence
    assert Demonstration.objects.count() == 1
    assert take(waiting()[0].pk, {}, "", actor="educator", now=MONDAY + DAY).demonstration.key.int == 2
    assert received(sent(3, at=MONDAY + DAY), now=MONDAY + DAY).kept, "another day is another demonstration"
    assert received(sent(4, assessor="priya"), bearer="priya").kept, "another assessor saw another one"


def test_a_record_put_by_says_why_and_does_not_come_back():
    received(sent(assessor="ben"), bearer="ben")
    number = waiting()[0].pk
    with pytest.raises(Refusal, match="No reason"):
        put_by(number, " ", actor="educator")
    put_by(number, "It was a rehearsal.", actor="educator")
    assert received(sent(assessor="ben"), bearer="ben").waiting
    assert waiting() == []
    with pytest.raises(Refusal, match="no longer waits"):
        take(number, {}, "", actor="educator", now=MONDAY)


@pytest.mark.parametrize("settle", ["put-by", "take"])
def test_of_rivals_that_settle_one_waiting_record_one_does(book, settle):
    """Eight windows of the educator at once: one answer in the account, the others are told."""
    received(sent(person=None, person_typed="A-77"))
    number, told, gate = waiting()[0].pk, [], threading.Barrier(8)

    def answer(window):
        gate.wait()
        try:
            if settle == "take":
                take(number, {"person": who("ana")}, f"Window {window}.", actor="educator", now=MONDAY)
            else:
                put_by(number, f"Window {window}.", actor="educator")
            told.append("settled")
        except Refusal as refusal:
            told.append(refusal.came)
        finally:
            connections["default"].close()

    threads = [threading.Thread(target=answer, args=(window,)) for window in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(told) == ["This record no longer waits."] * 7 + ["settled"]
    assert Event.objects.filter(verb__in=("demonstration-taken", "demonstration-put-by")).count() == 1


def test_the_waiting_record_is_held_before_it_is_looked_whether_it_was_settled(monkeypatch):
    """For a database with finer locks than SQLite's, where two transactions could both see that it still waits."""
    from django.db.models import QuerySet

    received(sent(assessor="ben"), bearer="ben")
    number, order = waiting()[0].pk, []
    hold, look = QuerySet.select_for_update, duty.waiting
    monkeypatch.setattr(
        QuerySet, "select_for_update", lambda self, *a, **k: order.append("hold") or hold(self, *a, **k)
    )
    monkeypatch.setattr(duty, "waiting", lambda: order.append("look") or look())
    put_by(number, "It was a rehearsal.", actor="educator")
    assert order == ["hold", "look"]


def test_a_record_that_became_possible_meanwhile_is_kept_once_however_it_comes():
    """The answer was lost, the entitlement was entered, the phone sent again, and the educator took it."""
    received(sent(assessor="ben"), bearer="ben")
    entitle(who("ben"), start=date(2026, 3, 1), end=None, qualification=cast.GROUND, actor="Ines")
    assert received(sent(assessor="ben"), bearer="ben").kept
    assert take(waiting()[0].pk, {}, "", actor="educator", now=MONDAY).already
    assert (Demonstration.objects.count(), waiting()) == (1, [])


@pytest.mark.parametrize("seed", range(8))
def test_phones_in_any_order_any_number_of_times_leave_the_same_records(seed):
    """Two phones, four people, some sent twice or thrice, in any order: the records are those of one clean send."""
    records = [
        sent(1, person="ana", steps=WHOLE),
        sent(2, person="ben", steps=CURVED, assessor="priya", at=MONDAY + timedelta(hours=1)),
        sent(3, person="priya", at=MONDAY + timedelta(hours=2)),
        sent(4, person="ben", at=MONDAY + 2 * DAY),
    ]
    rng = random.Random(seed)
    stream = [r for r in records for _ in range(rng.randint(1, 3))]
    rng.shuffle(stream)
    for one in stream:
        bearer = Person.objects.get(pk=one["assessor"]).identifier
        assert received(one, bearer=bearer, now=MONDAY + 3 * DAY).kept
    stands = {(d.key.int, d.person.identifier, d.outcome, d.time) for d in Demonstration.objects.all()}
    assert stands == {
        (1, "ana", "signed-off", MONDAY),
        (2, "ben", "not-yet", MONDAY + timedelta(hours=1)),
        (3, "priya", "signed-off", MONDAY + timedelta(hours=2)),
        (4, "ben", "signed-off", MONDAY + 2 * DAY),
    }
    assert Attendance.objects.count() == 4 and waiting() == []
