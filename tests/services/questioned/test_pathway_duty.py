"""The pathway in use, and the switch that shows the desk's answer at the bedside."""

import dataclasses
from datetime import timedelta

import pytest
from django.utils import timezone

from approving import new_version
from browline.errors import NotUnderstood
from browline.materials.pathway import CHART
from browline.services.book import change_preference
from browline.services.materials import documents
from browline.services.questioned import at_bedside
from browline.services.questioned.pathway import KIND, in_use
from browline.site_choice import ESCALATE

DAY = timedelta(days=1)


def today():
    return timezone.localdate()


def approve(days=100):
    latest = documents.latest(KIND)
    approval = documents.Approval("Ines Quill", "policy 12", today(), today() + days * DAY)
    return new_version(KIND, latest.body, approval, read=latest.version, actor="educator")


@pytest.fixture
def lifted(monkeypatch):
    """The switch as it is once it is held off no longer."""
    monkeypatch.setattr(at_bedside, "HELD_OFF", "")


def turn_on(days=30, approver="Dr Mara Venn", reason="pilot on Larch"):
    at_bedside.turn_on(approver, reason, today() + days * DAY, "educator")


def standing_in(days):
    return at_bedside.standing(timezone.localtime() + days * DAY)


def test_the_first_line_and_the_charting_line_stand_whatever_the_document_says(book):
    """A book of an older version may hold a pathway that the editor would refuse."""
    from browline.store.models import ControlledDocument

    row = {"id": "a", "part": "wait", "says": "Wait.", "source": "x", "by_instructions": False}
    ControlledDocument.objects.create(
        kind=KIND, version=1, body={"head": {"call": ""}, "rows": [row]}, actor="old"
    )
    told = in_use(timezone.localtime())
    assert (told.first, told.charting, told.escalate) == (ESCALATE, CHART, None)


def test_a_draft_says_who_decides_and_in_force_the_pathway_does(book):
    told = in_use(timezone.localtime())
    assert (told.mark, told.version) == ("DRAFT", 1) and "the person in charge decide" in told.decides
    approve()
    told = in_use(timezone.localtime())
    assert (told.mark, told.version, told.owner, told.decides) == ("", 2, "Ines Quill", "")
    assert in_use(timezone.localtime() + 101 * DAY).mark == "EXPIRED"


def test_reasons_to_escalate_stand_apart_from_and_before_the_other_parts(book):
    told = in_use(timezone.localtime())
    assert told.escalate.name == "escalate" and "escalate" not in [part.name for part in told.parts]
    assert [part.name for part in told.parts][:2] == ["safer", "order"]


def test_distances_stand_in_both_units_the_chosen_one_first(book):
    change_preference.set_choice("show_unit", "F", "educator")
    apart = next(part for part in in_use(timezone.localtime()).parts if part.name == "tolerance")
    # A difference of 0.5 °C is 0.9 °F: definition of the scales.
    assert "0.9 °F (0.5 °C)" in " ".join(line.says for line in apart.lines)


def test_what_is_given_out_cannot_be_changed(book):
    with pytest.raises(dataclasses.FrozenInstanceError):
        in_use(timezone.localtime()).mark = ""


def test_the_editor_refuses_a_pathway_without_its_escalation_lines(book):
    body = documents.latest(KIND).body
    rows = [row for row in body["rows"] if row["id"] != "surgery"]
    with pytest.raises(NotUnderstood, match="recent surgery: escalate"):
        new_version(KIND, {**body, "rows": rows}, documents.Approval(), read=1, actor="educator")
    assert documents.latest(KIND).version == 1


def test_nobody_has_turned_it_on_and_so_it_is_off(book, lifted):
    approve()
    assert not at_bedside.is_on()
    assert standing_in(0) == at_bedside.Standing(False, None, "Nobody has turned it on.")


def test_turned_on_it_is_recorded_who_when_why_and_until_when(book, lifted):
    from browline.store.models import Event

    approve()
    turn_on()
    assert at_bedside.is_on()
    (event,) = Event.objects.filter(verb="bedside-model")
    assert (event.actor, event.subject) == ("educator", "on")
    until = (today() + 30 * DAY).isoformat()
    assert event.data == {
        "approver": "Dr Mara Venn",
        "reason": "pilot on Larch",
        "until": until,
        "version": 2,
        "edition": 2,
    }
    (turn,) = at_bedside.turns()
    assert (turn.approver, turn.until.isoformat(), turn.at) == ("Dr Mara Venn", until, event.at)


@pytest.mark.parametrize(
    "wrong, words",
    [
        ({"approver": " "}, "the name of who approves it"), ({"reason": "\n"}, "a reason"),
        ({"approver": "x" * 81}, "of 80 letters"), ({"reason": "x" * 301}, "of 300 letters"),
        ({"days": -1}, "within a year"), ({"days": 366}, "within a year"),
    ],
)  # fmt: skip
def test_it_is_refused_without_a_name_a_reason_or_a_near_end(book, lifted, wrong, words):
    from browline.store.models import Event

    approve(days=500)
    with pytest.raises(NotUnderstood, match=words):
        turn_on(**wrong)
    assert not at_bedside.is_on() and not Event.objects.filter(verb="bedside-model").exists()


def test_beside_a_draft_it_is_refused(book, lifted):
    with pytest.raises(NotUnderstood, match="Have the pathway approved first"):
        turn_on()


def test_it_ends_by_itself_after_its_day(book, lifted):
    approve()
    turn_on(days=3)
    assert standing_in(3).on
    assert standing_in(4).why_off == "Its time is over."


def test_a_year_and_the_same_day_are_allowed(book, lifted):
    approve(days=500)
    turn_on(days=365)
    turn_on(days=0)
    assert standing_in(0).on and not standing_in(1).on


def test_it_is_off_once_the_pathway_has_expired(book, lifted):
    approve(days=5)
    turn_on(days=30)
    assert standing_in(5).on
    assert standing_in(6).why_off == "The pathway is not in force."


def test_a_new_version_of_the_pathway_ends_it_for_good(book, lifted):
    """It was approved beside another text; a draft beside it changes nothing."""
    approve(days=50)
    turn_on()
    new_version(KIND, documents.latest(KIND).body, documents.Approval(), read=2, actor="educator")
    assert at_bedside.is_on()
    approve(days=2)
    assert standing_in(0).why_off == "Another version of the pathway was approved since."
    # The newer one has expired and the older is in force again: what it stood beside does not come back.
    assert in_use(timezone.localtime() + 3 * DAY).version == 2 and not standing_in(3).on


def test_it_does_not_pass_on_to_an_older_version_that_outlives_its_own(book, lifted):
    approve(days=50)
    approve(days=5)
    turn_on()
    assert in_use(timezone.localtime() + 6 * DAY).version == 2
    assert standing_in(5).on and not standing_in(6).on


def test_turned_off_it_is_off_at_once_and_nothing_is_asked(book, lifted):
    approve()
    turn_on()
    at_bedside.turn_off("", "educator")
    assert not at_bedside.is_on() and standing_in(0).why_off == "It was turned off."
    assert [turn.on for turn in at_bedside.turns()] == [False, True]


def test_to_turn_off_what_is_off_records_nothing(book, lifted):
    at_bedside.turn_off("just in case", "educator")
    assert at_bedside.turns() == []


def test_turned_on_again_the_last_word_counts(book, lifted):
    approve()
    turn_on()
    at_bedside.turn_off("over", "educator")
    turn_on(approver="Dr Pell", reason="second pilot")
    assert standing_in(0).turn.approver == "Dr Pell" and len(at_bedside.turns()) == 3


def test_this_version_holds_it_off_and_refuses_in_words(book):
    approve()
    with pytest.raises(NotUnderstood, match="does not weigh yet how a reading ages"):
        turn_on()
    assert at_bedside.turns() == [] and not at_bedside.is_on()
    assert standing_in(0).why_off == at_bedside.HELD_OFF


def test_what_an_earlier_version_turned_on_is_off(book, monkeypatch):
    """A turn kept by an earlier version has no edition: it is off now, and still off once the hold is lifted."""
    from browline.store.models import Event

    version = approve().version
    until = (today() + 30 * DAY).isoformat()
    told = {"approver": "Dr Mara Venn", "reason": "pilot", "until": until, "version": version}
    Event.objects.create(actor="educator", verb="bedside-model", subject="on", data=told)
    assert not at_bedside.is_on() and standing_in(0).why_off == at_bedside.HELD_OFF
    monkeypatch.setattr(at_bedside, "HELD_OFF", "")
    assert not at_bedside.is_on() and "under an earlier version" in standing_in(0).why_off
    turn_on()
    assert at_bedside.is_on()
