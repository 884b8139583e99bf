"""A return demonstration becomes a record: the rules, the lock, the same one sent twice."""

import threading
from dataclasses import replace
from datetime import date, timedelta

import pytest

import invented_demonstrations as cast
from browline.competency.judging import MISSED, NOT_SEEN
from browline.errors import NotUnderstood, Refusal
from browline.services.materials import documents
from browline.services.training.demonstrations import record
from browline.services.training.demonstrations.assessors import close, entitled_on
from browline.store.models import (
    AssessorStanding,
    Attendance,
    Demonstration,
    Event,
    Person,
    RecordIsLocked,
)
from invented_demonstrations import CURVED, DAY, MONDAY, WHOLE, kept, observed, who


@pytest.fixture(autouse=True)
def ward(book):
    cast.a_ward()
    return book


def refused(match, **facts):
    """Nothing is kept, and the refusal says this."""
    now = facts.pop("now", None)
    before = Demonstration.objects.count(), Attendance.objects.count(), Event.objects.count()
    what = observed(**facts)
    with pytest.raises(Refusal, match=match):
        record(what, actor="assessor omar", now=now or what.time)
    assert (Demonstration.objects.count(), Attendance.objects.count(), Event.objects.count()) == before


def test_a_whole_demonstration_is_signed_off_and_told_to_the_review():
    made = record(observed(), actor="assessor omar", now=MONDAY)
    assert made.sentence == "Signed off. To be seen again by 02 Mar 2027."
    assert (made.demonstration.outcome, made.demonstration.attempt) == ("signed-off", 1)
    row = Attendance.objects.get()
    assert (row.person_id, row.time, row.outcome, row.assessor_id, row.ward) == (
        who("ana"), MONDAY, "signed-off", who("omar"), "Larch",
    )  # fmt: skip
    assert Event.objects.get(verb="demonstration").subject == str(made.demonstration.key)


def test_a_critical_miss_is_not_yet_and_says_when_to_try_again():
    made = record(observed(steps=CURVED), actor="assessor omar", now=MONDAY)
    assert made.demonstration.outcome == "not-yet"
    assert made.sentence == (
        "Not yet: to be practised and seen again on another day: straight path, in touch. "
        "Try 2 from 03 Mar 2026."
    )


def test_the_phone_cannot_say_what_it_came_to():
    assert kept(steps={**CURVED}).outcome == "not-yet"
    assert not hasattr(observed(), "outcome")


def test_steps_left_out_are_written_down_as_not_seen():
    made = kept(steps={"path": "done"})
    assert set(made.steps) == set(WHOLE) and made.steps["lens"] == NOT_SEEN


def test_a_record_is_locked():
    made = kept()
    made.outcome = "not-yet"
    with pytest.raises(RecordIsLocked):
        made.save()
    with pytest.raises(RecordIsLocked):
        Demonstration.objects.update(outcome="not-yet")
    with pytest.raises(RecordIsLocked):
        made.delete()


@pytest.mark.parametrize(
    "write",
    [
        lambda made: Demonstration._base_manager.update(outcome="not-yet"),
        lambda made: Demonstration._base_manager.all().delete(),
        lambda made: made.person.demonstrations.update(outcome="not-yet"),
        lambda made: Demonstration.objects.bulk_update([made], ["outcome"]),
        lambda made: Demonstration.objects.bulk_create(
            [made], update_conflicts=True, unique_fields=["key"], update_fields=["outcome"]
        ),
        lambda made: Demonstration.objects.bulk_create([made], None, False, True, ["outcome"], ["key"]),
    ],
)
def test_a_record_is_locked_also_for_what_writes_many_at_once(write):
    made = kept()
    made.outcome = "not-yet"
    with pytest.raises(RecordIsLocked):
        write(made)
    assert Demonstration.objects.get().outcome == "signed-off"


def test_new_records_may_be_written_many_at_once():
    made = kept()
    facts = {
        f.attname: getattr(made, f.attname) for f in Demonstration._meta.fields if f.name not in ("id", "key")
    }
    Demonstration.objects.bulk_create([Demonstration(**facts), Demonstration(**facts)])
    assert Demonstration.objects.count() == 3


def test_whoever_has_left_is_entitled_no_longer():
    from browline.services.training.demonstrations.assessors import may_see_names
    from browline.services.training.demonstrations.rules import entitlement

    Person.objects.filter(pk=who("omar")).update(end=date(2026, 3, 1))
    assert entitlement(who("omar"), date(2026, 3, 1)) and entitlement(who("omar"), date(2026, 3, 2)) is None
    assert [p.shown for p in entitled_on(date(2026, 3, 2))] == ["Priya Shah"]
    assert [may_see_names(p, date(2026, 3, 2)) for p in (who("omar"), who("priya"), who("ben"), None)] == [
        False, True, False, False,
    ]  # fmt: skip
    refused("Omar Lind is not entered as an assessor")


def test_an_assessor_is_entitled_on_that_day_or_not():
    refused("not entered as an assessor on 01 Jan 2027", time=MONDAY + timedelta(days=305))
    refused("Ben Okafor is not entered as an assessor", assessor="ben")
    kept(time=MONDAY + timedelta(days=304))


def test_the_day_is_the_wards_own():
    """31 Dec 23:30 UTC is 1 Jan in Helsinki, where the entitlement of 2026 has ended."""
    from browline.services.book.change_preference import set_choice

    late = MONDAY.replace(month=12, day=31, hour=23, minute=30)
    kept(time=late)
    set_choice("zone", "Europe/Helsinki", "Ines")
    refused("on 01 Jan 2027", person="ben", time=late)


def test_the_second_assessor_is_entitled_too():
    refused("Ben Okafor is not entered", person="ana", second="ben")


@pytest.mark.parametrize(
    ("facts", "match"),
    [
        ({"person": "omar"}, "Nobody signs themselves off"),
        ({"person": "priya", "second": "priya"}, "Nobody signs themselves off"),
        ({"second": "omar"}, "second assessor is somebody else"),
        ({"method": "by letter"}, "method"),
        ({"steps": {"dance": "done"}}, "no such step"),
        ({"steps": {"path": "well"}}, "marked 'well'"),
        ({"now": MONDAY - timedelta(minutes=6)}, "still to come"),
    ],
)
def test_what_no_record_may_say(facts, match):
    refused(match, **facts)


def test_a_phone_a_little_ahead_is_believed():
    assert record(observed(), actor="assessor omar", now=MONDAY - timedelta(minutes=4)).demonstration.pk


def test_a_person_or_checklist_that_is_not_in_the_book_is_refused():
    for wrong in ({"person": 999}, {"assessor": 999}, {"checklist": 999}):
        with pytest.raises(Refusal):
            record(replace(observed(), **wrong), actor="assessor omar", now=MONDAY)


def test_after_a_not_yet_the_next_try_is_on_another_day():
    kept(steps=CURVED)
    refused("try 2 on 02 Mar 2026", time=MONDAY + timedelta(hours=3))
    assert kept(time=MONDAY + DAY).attempt == 2


def test_two_assessors_at_the_third_try():
    # A common rule of schools of nursing: three attempts on different days, two assessors at the third.
    kept(steps=CURVED)
    kept(steps=CURVED, time=MONDAY + DAY)
    refused("only one assessor", time=MONDAY + 2 * DAY)
    third = kept(time=MONDAY + 2 * DAY, second="priya")
    assert (third.attempt, third.outcome, third.second_id) == (3, "signed-off", who("priya"))
    assert kept(time=MONDAY + 9 * DAY).attempt == 1, "a sign-off starts the count again"


def test_beyond_the_last_try_it_says_to_agree_how_to_go_on():
    for day in range(2):
        kept(steps=CURVED, time=MONDAY + day * DAY)
    what = observed(steps=CURVED, time=MONDAY + 2 * DAY, second="priya")
    assert "agree with the ward’s manager" in record(what, actor="x", now=what.time).sentence


def test_a_record_that_comes_late_is_asked_of_what_stood_before_it():
    """Omar's phone was without a network on Monday; Priya's record of Tuesday arrived first."""
    kept(steps=CURVED, time=MONDAY + DAY, assessor="priya")
    late = kept(steps=CURVED, now=MONDAY + 2 * DAY)
    assert (late.attempt, late.outcome) == (1, "not-yet")
    assert kept(time=MONDAY + 5 * DAY, second="priya").attempt == 3


def test_a_late_not_yet_does_not_undo_the_sign_off_that_came_after_it():
    kept(time=MONDAY + DAY, assessor="priya")
    late = record(observed(steps=CURVED), actor="assessor omar", now=MONDAY + 2 * DAY)
    assert late.sentence.endswith("straight path, in touch. A later sign-off stands.")


def test_the_same_record_sent_again_is_kept_once():
    what = observed(steps=CURVED)
    first = record(what, actor="assessor omar", now=MONDAY)
    again = record(what, actor="assessor omar", now=MONDAY + 9 * DAY)
    assert again.already and again.demonstration == first.demonstration
    assert "already here" in again.sentence
    assert (Demonstration.objects.count(), Attendance.objects.count()) == (1, 1)
    assert Event.objects.filter(verb="demonstration").count() == 1


@pytest.mark.parametrize(
    "other",
    [
        {"steps": {**WHOLE, "reads": MISSED}},
        {"time": MONDAY + timedelta(seconds=1)},
        {"taught": "the lens"},
        {"method": "simulated"},
    ],
)
def test_the_same_key_with_something_else_is_never_written_over(other):
    what = observed()
    record(what, actor="assessor omar", now=MONDAY)
    with pytest.raises(Refusal, match="something else"):
        record(replace(what, **other), actor="assessor omar", now=MONDAY + DAY)
    assert Demonstration.objects.get().steps == WHOLE


def test_of_rivals_with_one_key_one_writes_and_all_are_told_the_same(ward):
    """Eight senders at once, as a phone that lost the answers would: one record, one attendance."""
    from django.db import connections

    what, told, gate = observed(), [], threading.Barrier(8)

    def send():
        gate.wait()
        try:
            told.append(record(what, actor="assessor omar", now=MONDAY).demonstration.pk)
        finally:
            connections["default"].close()

    threads = [threading.Thread(target=send) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(told) == 8 and len(set(told)) == 1
    assert (Demonstration.objects.count(), Attendance.objects.count()) == (1, 1)


def test_a_rival_that_wrote_between_look_and_write_is_told_from_its_record(monkeypatch):
    """What a database with finer locks than SQLite's allows: the first look saw nothing, the key was taken."""
    from browline.services.training import demonstrations

    what = observed()
    first = record(what, actor="assessor omar", now=MONDAY)
    looks = iter([None, demonstrations._again(what)])
    monkeypatch.setattr(demonstrations, "_again", lambda observation: next(looks))
    again = record(what, actor="assessor omar", now=MONDAY)
    assert again.already and again.demonstration == first.demonstration
    assert Event.objects.filter(verb="demonstration").count() == 1


def test_a_first_try_by_two_phones_at_once_is_one_first_and_one_refused():
    """Both saw Ana miss a step within one minute: the second to arrive is a try on the same day."""
    kept(steps=CURVED)
    refused("try 2", steps=CURVED, time=MONDAY + timedelta(minutes=1), assessor="priya")


def test_entitlements_are_entered_with_a_ground_and_ended_forward_only():
    from browline.services.training.demonstrations.assessors import entitle

    with pytest.raises(NotUnderstood, match="ground"):
        entitle(who("ben"), start=date(2026, 1, 1), end=None, qualification="  ", actor="Ines")
    with pytest.raises(NotUnderstood, match="end before"):
        entitle(who("ben"), start=date(2026, 2, 1), end=date(2026, 1, 1), qualification="x", actor="Ines")
    assert [p.shown for p in entitled_on(date(2026, 3, 2))] == ["Omar Lind", "Priya Shah"]
    omar = AssessorStanding.objects.get(person=who("omar"))
    close(omar.pk, date(2026, 3, 1), actor="Ines")
    assert [p.shown for p in entitled_on(date(2026, 3, 2))] == ["Priya Shah"]
    for day in (date(2026, 4, 1), date(2026, 3, 1), date(2025, 12, 31)):
        with pytest.raises(Refusal, match="ended by then, or had not begun"):
            close(omar.pk, day, actor="Ines")


def test_ending_an_entitlement_says_how_many_records_are_left_without_one():
    kept()
    kept(person="ben", time=MONDAY + 5 * DAY)
    omar = AssessorStanding.objects.get(person=who("omar"))
    assert close(omar.pk, date(2026, 3, 4), actor="Ines") == 1


def test_a_record_that_comes_in_while_histories_are_read_breaks_nothing(monkeypatch):
    from browline.services.training.demonstrations import reading

    kept()
    read, ask = reading._versions, []

    def meanwhile(numbers):
        versions = read(numbers)
        if not ask:
            ask.append(True)
            body = documents.latest("checklist").body
            documents.new_version("checklist", body, documents.Approval(), read=1, actor="Ines")
            kept(person="ben")
        return versions

    monkeypatch.setattr(reading, "_versions", meanwhile)
    assert reading.histories()
