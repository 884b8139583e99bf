"""An earlier record that comes in late: those after it are asked again, and a person tells which stands."""

from datetime import timedelta

import pytest

import invented_demonstrations as cast
from browline.errors import Refusal
from browline.services.training.demonstrations.amending import amend, withdraw
from browline.services.training.demonstrations.recheck import clashes, let_stand
from browline.store.models import Demonstration, Event
from invented_demonstrations import CURVED, DAY, MONDAY, WHOLE, kept, who

MINUTE = timedelta(minutes=1)
LATER = MONDAY + 4 * DAY


@pytest.fixture(autouse=True)
def ward(book):
    cast.a_ward()


def late_not_yet(**facts):
    """Priya's sign-off of 09:01 is in the book when Omar's not-yet of 09:00 arrives from a phone without a network."""
    sign_off = kept(time=MONDAY + MINUTE, assessor="priya")
    return sign_off, kept(**{"steps": CURVED, "now": MONDAY + DAY, **facts})


def asked():
    return [(one.record.pk, one.earlier.pk) for one in clashes()]


def test_a_late_not_yet_of_the_same_day_is_kept_and_asks_which_stands():
    sign_off, not_yet = late_not_yet()
    assert asked() == [(sign_off.pk, not_yet.pk)]
    told = clashes()[0].data
    assert told["came"] == (
        "Signed off on 02 Mar 2026 at 09:01, observed by Priya Shah. An earlier one came into the book after it: "
        "Not yet on 02 Mar 2026 at 09:00, observed by Omar Lind."
    )
    assert told["wanted"] == "After a not-yet the next try is on 03 Mar 2026 or later."
    assert {one.pk for one in Demonstration.objects.in_force()} == {sign_off.pk, not_yet.pk}, (
        "nothing is changed by itself"
    )


def test_a_late_record_of_another_day_or_of_another_person_asks_nothing():
    kept(time=MONDAY + DAY, assessor="priya")
    kept(steps=CURVED, now=LATER)
    kept(person="ben", time=MONDAY + MINUTE)
    assert clashes() == []


def test_a_late_sign_off_asks_nothing():
    kept(time=MONDAY + MINUTE, assessor="priya")
    kept(now=MONDAY + DAY)
    assert clashes() == []


def test_a_late_second_not_yet_makes_a_later_one_the_last_try_which_needs_two_assessors():
    kept(steps=CURVED)
    third = kept(time=MONDAY + 2 * DAY)
    second = kept(steps=CURVED, time=MONDAY + DAY, now=LATER)
    assert asked() == [(third.pk, second.pk)]
    assert clashes()[0].data["wanted"] == "At the last try two assessors watch together."


def test_the_same_record_sent_again_asks_once():
    from browline.services.training.demonstrations import record

    kept(time=MONDAY + MINUTE, assessor="priya")
    late = cast.observed(steps=CURVED)
    for _ in range(3):
        record(late, actor="assessor omar", now=MONDAY + DAY)
    assert len(asked()) == 1


@pytest.mark.parametrize("which", [0, 1])
def test_the_question_falls_away_where_one_of_the_two_is_withdrawn(which):
    withdraw(late_not_yet()[which], "It was a rehearsal.", actor="educator")
    assert clashes() == []


def test_the_question_falls_away_where_an_amendment_puts_it_right():
    _, not_yet = late_not_yet()
    amend(not_yet, "The wrong line.", {"steps": WHOLE}, actor="educator", now=LATER)
    assert clashes() == []


def test_an_amendment_of_words_asks_nothing_anew_and_shows_what_stands():
    sign_off, not_yet = late_not_yet()
    change = {"taught": "the path"}
    worded = amend(not_yet, "What was taught.", change, actor="educator", now=LATER).demonstration
    assert asked() == [(sign_off.pk, worded.pk)]
    let_stand(clashes()[0].pk, "Two patients.", actor="educator")
    amend(worded, "What was taught.", {"taught": "the lens"}, actor="educator", now=LATER)
    assert clashes() == []


def test_an_amendment_may_raise_the_question():
    first = kept(assessor="omar")
    second = kept(time=MONDAY + MINUTE, assessor="priya")
    made = amend(first, "The wrong line.", {"steps": CURVED}, actor="educator", now=LATER).demonstration
    assert asked() == [(second.pk, made.pk)]


def test_an_amendment_that_brings_a_record_to_another_person_asks_of_theirs():
    of_ben = kept(person="ben", steps=CURVED)
    of_ana = kept(time=MONDAY + MINUTE, assessor="priya")
    amend(of_ben, "It was Ana.", {"person": who("ana")}, actor="educator", now=LATER)
    assert [pair[0] for pair in asked()] == [of_ana.pk]


def test_withdrawing_a_sign_off_raises_the_question_of_what_came_after_it():
    """Not yet, signed off on the next day, and not yet again that day: without the sign-off, tries 2 and 3 of a day."""
    kept(steps=CURVED)
    between = kept(steps=CURVED, time=MONDAY + DAY)
    sign_off = kept(time=MONDAY + 2 * DAY, second="priya")
    last = kept(steps=CURVED, time=MONDAY + 2 * DAY + MINUTE)
    withdraw(sign_off, "It was Ben.", actor="educator")
    assert asked() == [(last.pk, between.pk)]


def test_the_educator_lets_both_stand_with_a_reason_and_is_asked_no_more():
    late_not_yet()
    number = clashes()[0].pk
    with pytest.raises(Refusal, match="No reason"):
        let_stand(number, "  ", actor="educator")
    let_stand(number, "Both assessors agree: two scans, two patients.", actor="educator")
    assert clashes() == [] and Demonstration.objects.count() == 2
    with pytest.raises(Refusal, match="no longer asked"):
        let_stand(number, "Once more.", actor="educator")
    assert Event.objects.filter(verb="demonstration-clash-answered").count() == 1
