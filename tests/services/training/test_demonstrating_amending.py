"""Amending a record: a new one that names the old one, rivals settled by the chain itself, the review told."""

from datetime import timedelta
from uuid import uuid4

import pytest

import invented_demonstrations as cast
from browline.errors import Refusal
from browline.services.training.demonstrations.amending import amend, withdraw
from browline.services.training.demonstrations.reading import (
    chain,
    histories,
    last_record,
    next_try_now,
)
from browline.services.training.demonstrations.second_scores import second_score
from browline.store.models import Attendance, Demonstration, Event, SecondScore
from invented_demonstrations import CURVED, DAY, MONDAY, WHOLE, kept, who

LATER = MONDAY + 2 * DAY


@pytest.fixture(autouse=True)
def ward(book):
    cast.a_ward()


def amended(record, reason="The step was marked on the wrong line.", **changes):
    return amend(record, reason, changes, actor="educator", now=LATER).demonstration


def told():
    """What the review reads."""
    return [(row.person.identifier, row.time, row.outcome) for row in Attendance.objects.all()]


def test_the_latest_of_a_chain_counts_and_the_first_stays():
    first = kept(steps=CURVED)
    second = amended(first, steps=WHOLE)
    third = amended(second, "Seen later than noted.", time=MONDAY + timedelta(hours=1))
    assert [link.pk for link in chain(second)] == [first.pk, second.pk, third.pk]
    assert last_record(first) == third == Demonstration.objects.in_force().get()
    assert Demonstration.objects.get(pk=first.pk).steps == CURVED
    assert (third.outcome, third.attempt, third.reason) == ("signed-off", 1, "Seen later than noted.")


def test_the_review_follows_the_amendment():
    first = kept(steps=CURVED)
    assert told() == [("ana", MONDAY, "not-yet")]
    second = amended(first, steps=WHOLE)
    assert told() == [("ana", MONDAY, "signed-off")]
    amended(second, "It was Ben.", person=who("ben"))
    assert told() == [("ben", MONDAY, "signed-off")]


def test_an_amendment_of_words_leaves_the_review_as_it_was():
    amended(kept(), taught="the lens")
    assert told() == [("ana", MONDAY, "signed-off")]


@pytest.mark.parametrize("reason", ["", "   "])
def test_an_amendment_says_why(reason):
    first = kept()
    with pytest.raises(Refusal, match="No reason"):
        amended(first, reason, taught="the lens")
    assert last_record(first) == first


def test_an_amendment_changes_something():
    with pytest.raises(Refusal, match="Nothing was changed"):
        amended(kept(), steps=dict(WHOLE))


def test_what_an_amendment_cannot_change():
    with pytest.raises(Refusal, match="'outcome'"):
        amended(kept(steps=CURVED), outcome="signed-off")


def test_of_two_amendments_of_one_record_the_later_is_refused():
    first = kept()
    amended(first, taught="the lens")
    before = Attendance.objects.count(), Event.objects.count()
    with pytest.raises(Refusal, match="amended by somebody else"):
        amended(first, taught="the path")
    assert (Attendance.objects.count(), Event.objects.count()) == before


def test_the_rules_are_asked_of_an_amendment_too():
    first = kept()
    for changes, match in (
        ({"assessor": who("ben")}, "not entered as an assessor"),
        ({"person": who("omar")}, "Nobody signs themselves off"),
        ({"time": LATER + DAY}, "still to come"),
    ):
        with pytest.raises(Refusal, match=match):
            amended(first, **changes)
    assert last_record(first) == first


def test_an_amendment_is_no_try_of_its_own():
    """On the same day, after its own not-yet: the record it replaces does not count against it."""
    first = kept(steps=CURVED)
    later = amended(first, "Seen an hour later.", time=MONDAY + timedelta(hours=1))
    assert later.attempt == 1
    assert amended(later, "The wrong line.", steps=WHOLE, time=MONDAY + timedelta(hours=2)).attempt == 1


def test_a_withdrawn_record_stays_to_be_read_and_counts_for_nothing():
    first = kept(steps=CURVED)
    gone = withdraw(first, "Entered twice, from the phone and from paper.", actor="educator")
    assert (gone.outcome, gone.steps) == ("withdrawn", CURVED)
    assert told() == [] and histories() == {}
    assert next_try_now(who("ana"), MONDAY.date()).number == 1
    with pytest.raises(Refusal):
        withdraw(first, "Once more.", actor="educator")


def test_a_withdrawn_record_is_neither_withdrawn_again_nor_amended_back():
    gone = withdraw(kept(), "Entered twice.", actor="educator")
    before = Demonstration.objects.count(), Event.objects.count()
    with pytest.raises(Refusal, match=r"This record was withdrawn.*record the demonstration anew"):
        withdraw(gone, "Once more.", actor="educator")
    with pytest.raises(Refusal, match="This record was withdrawn"):
        amended(gone, taught="the lens")
    assert (Demonstration.objects.count(), Event.objects.count()) == before and told() == []


def test_withdrawing_one_of_two_equal_records_leaves_what_the_other_tells():
    kept()
    withdraw(kept(), "Entered twice.", actor="educator")
    assert told() == [("ana", MONDAY, "signed-off")]


def test_what_was_left_to_practise_is_named():
    kept(steps=CURVED)
    assert next_try_now(who("ana"), MONDAY.date()).again == ("straight path, in touch",)


def score(record, assessor="priya", steps=WHOLE, key=None):
    return second_score(record, who(assessor), steps, key=key or uuid4(), actor="assessor")


def test_another_assessor_scores_the_same_demonstration_alone():
    first = kept(steps=CURVED)
    made = score(first, steps=WHOLE)
    assert (made.outcome, made.steps, made.demonstration_id) == ("signed-off", WHOLE, first.pk)
    assert last_record(first).outcome == "not-yet", "a score changes no record"


def test_a_score_belongs_to_the_first_record_because_an_amendment_may_come_from_talking():
    first = kept(steps=CURVED)
    assert score(amended(first, steps=WHOLE)).demonstration_id == first.pk


@pytest.mark.parametrize("assessor", ["omar", "ana"])
def test_nobody_of_the_record_itself_scores_it(assessor):
    with pytest.raises(Refusal, match="took part"):
        score(kept(), assessor)


def test_a_second_assessor_who_was_there_is_no_independent_one():
    with pytest.raises(Refusal, match="took part"):
        score(kept(second="priya"), "priya")


def test_a_score_needs_an_entitlement_on_that_day():
    with pytest.raises(Refusal, match="not entered as an assessor"):
        score(kept(), "ben")


def test_one_score_from_each_and_the_same_one_sent_again_is_kept_once():
    record, key = kept(), uuid4()
    first = score(record, key=key)
    assert score(record, key=key) == first
    with pytest.raises(Refusal, match="here already"):
        score(record, steps=CURVED, key=key)
    with pytest.raises(Refusal, match="here already"):
        score(record)
    assert SecondScore.objects.count() == 1
