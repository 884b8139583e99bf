"""One person's record: what proves it, by whose right, and what is missing."""

from datetime import date

import pytest

import larch_at_night as cast
from approving import new_version
from browline.services.materials.documents import Approval, latest
from browline.services.training.record import attempts, record
from browline.services.training.record.gaps import gaps
from larch_at_night import NO_LENS, TODAY, at, demonstration


@pytest.fixture
def staff(book):
    return cast.a_night()


def of(person):
    return record(person.pk, TODAY)


def test_an_observation_with_its_version_steps_and_assessor(staff):
    (entry,) = of(staff["Ana"]).entries
    assert (entry.day, entry.outcome) == (date(2026, 1, 5), "signed-off")
    assert (entry.attempt, entry.method) == (1, "on a patient")
    assert (entry.checklist, entry.version) == (1, "DRAFT")
    assert len(entry.steps) == 14 and {mark for _, mark in entry.steps} == {"done"}
    bo = entry.assessor
    assert (bo.name, bo.qualification, bo.start, bo.end) == (
        "Bo Hale", "teaches the skill since 2020", date(2025, 1, 1), None,
    )  # fmt: skip
    assert bo.own.until == date(2026, 12, 1)


def test_the_right_of_the_assessor_is_the_one_of_that_day(staff):
    from browline.store.models import AssessorStanding

    AssessorStanding.objects.filter(person=staff["Bo"]).update(end=date(2025, 12, 31))
    AssessorStanding.objects.create(
        person=staff["Bo"], start=date(2026, 2, 1), qualification="renewed", actor="ines"
    )
    assert of(staff["Ana"]).entries[0].assessor.qualification is None
    assert of(staff["Dee"]).entries[0].assessor.qualification == "renewed"
    assert "What entitled Bo Hale to assess on 05 Jan 2026 is not entered." in gaps(of(staff["Ana"]))


def test_a_checklist_sent_back_to_be_read_again_was_in_force_on_the_days_before(staff):
    """Approved by a version that showed no lines: since then a draft, but not on the day of the record."""
    from browline.store.models import ControlledDocument

    told = vars(Approval("Ines", "our policy 4", date(2026, 1, 1), date(2026, 6, 30)))
    body = latest("checklist").body
    ControlledDocument.objects.create(kind="checklist", version=2, body=body, actor="ines", **told)
    demonstration(staff["Cem"], staff["Bo"], at(date(2026, 2, 1), 11))
    (entry,) = of(staff["Cem"]).entries
    assert (entry.checklist, entry.version) == (2, "in force until 30 Jun 2026")


def test_how_the_checklist_stood_is_told_of_that_day(staff):
    body = latest("checklist").body
    approval = Approval("Ines", "our policy 4", date(2026, 1, 1), date(2026, 6, 30))
    new_version("checklist", body, approval, read=1, actor="ines")
    demonstration(staff["Cem"], staff["Bo"], at(date(2026, 2, 1), 11))
    (entry,) = of(staff["Cem"]).entries
    assert (entry.checklist, entry.version) == (2, "in force until 30 Jun 2026")
    assert gaps(of(staff["Cem"])) == ()
    assert of(staff["Ana"]).entries[0].version == "DRAFT", "it was made with the version before"


def test_a_not_yet_with_what_was_practised_and_the_recheck(staff):
    dee = staff["Dee"]
    (entry,) = of(dee).entries
    assert [step.name for step in entry.left] == [
        "clean lens"
    ] and entry.taught == "looked at lenses together"
    assert "No observation after that of 20 Feb 2026 is on record." in gaps(of(dee))
    demonstration(dee, staff["Bo"], at(date(2026, 2, 22)), attempt=2)
    assert [e.outcome for e in of(dee).entries] == ["signed-off", "not-yet"]
    assert not any("No observation after" in gap for gap in gaps(of(dee)))
    assert attempts(of(dee).entries) == (False, True)


def test_amendments_are_told_and_the_last_one_stands(staff):
    ana = staff["Ana"]
    stood = ana.demonstrations.get()
    demonstration(ana, staff["Bo"], stood.time, NO_LENS, amends=stood, reason="lens seen on the film")
    (entry,) = of(ana).entries
    assert entry.outcome == "not-yet"
    (change,) = entry.amendments
    assert (change.reason, change.before, change.after, change.actor) == (
        "lens seen on the film", "signed off", "not yet", "ines",
    )  # fmt: skip


def test_a_withdrawn_record_stays_to_be_read_and_is_no_attempt(staff):
    ana = staff["Ana"]
    stood = ana.demonstrations.get()
    demonstration(ana, staff["Bo"], stood.time, outcome="withdrawn", amends=stood, reason="another person")
    (entry,) = of(ana).entries
    assert entry.withdrawn and attempts(of(ana).entries) == ()
    assert gaps(of(ana)) == ("No observed demonstration is on record. Sessions attended are not counted.",)


def test_a_sign_off_brought_in_with_its_gaps(staff):
    found = of(staff["Fay"])
    assert not found.entries and [b.day for b in found.brought_in] == [date(2025, 11, 3)]
    assert gaps(found) == (
        "No demonstration with its steps is on record: the sign-off came in with a list.",
        "The steps, the method and the version of the checklist are not recorded for 03 Nov 2025: a record brought in.",
        "Who assessed on 03 Nov 2025 is not recorded.",
    )


def test_the_row_of_a_demonstration_is_not_told_a_second_time_as_brought_in(staff):
    assert of(staff["Ana"]).brought_in == ()


def test_somebody_who_only_attended(staff):
    found = of(staff["Cem"])
    assert [day for day, _ in found.attended] == [date(2026, 2, 1)]
    assert gaps(found) == ("No observed demonstration is on record. Sessions attended are not counted.",)


def test_what_the_book_does_not_know_of_the_person(staff):
    assert gaps(of(staff["Hal"]))[0] == "The role of the person is not in the book."
    assert "The person is not on the staff list." in gaps(of(staff["Eve"]))


def test_an_assessor_without_a_sign_off_of_their_own_is_told(staff):
    """Ida, who observed Bo, had one until February; Ida herself was observed by Bo before he had any."""
    assert "Bo Hale had no sign-off of their own in force on 10 Feb 2025." in gaps(of(staff["Ida"]))
    assert not any("Ida Birch had no" in gap for gap in gaps(of(staff["Bo"])))


def test_steps_nobody_saw_and_places_nobody_wrote_down(staff):
    unseen = cast.ALL_DONE | {"hold": "not-seen"}
    demonstration(staff["Cem"], staff["Bo"], at(date(2026, 2, 25)), unseen, ward="", instrument="")
    said = gaps(of(staff["Cem"]))
    assert "Not seen on 25 Feb 2026: button to the end." in said
    assert "The ward is not written down for 25 Feb 2026." in said
    assert "What was practised after 25 Feb 2026 is not written down." in said


def test_the_rights_a_person_holds_themselves(staff):
    assert [r.qualification for r in of(staff["Bo"]).entitled] == ["teaches the skill since 2020"]
