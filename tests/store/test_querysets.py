"""What is asked again of the records is said once, on their querysets; a row's state as the pages mean it."""

from datetime import UTC, datetime, timedelta

import pytest

from browline.store.models import (
    Absence,
    Champion,
    ControlledDocument,
    Demonstration,
    Finding,
    Import,
    Instrument,
    Pass,
    Person,
    RecordIsLocked,
    Review,
    Session,
    Shift,
    SignIn,
)

NOW = datetime(2026, 3, 7, 14, 5, tzinfo=UTC)
DAY = NOW.date()


def person(name, **more):
    return Person.objects.create(identifier=name, pseudonym=Person.objects.count() + 1, **more)


def names(rows, column="name"):
    return list(rows.values_list(column, flat=True))


def test_open_findings_are_new_or_still_there(book):
    review = Review.objects.create(version="1")
    for state in (Finding.NEW, Finding.STILL, Finding.GONE, Finding.CLOSED, Finding.WITHDRAWN):
        Finding.objects.create(key=state, kind="k", state=state, first_review=review, last_review=review)
    assert names(Finding.objects.open(), "state") == [Finding.NEW, Finding.STILL]
    assert {f.state for f in Finding.objects.all() if f.open} == {Finding.NEW, Finding.STILL}


def test_imports_in_force_are_those_nobody_took_back(book):
    counts = {"rows": 1, "taken": 1, "already_here": 0, "set_aside": 0, "repaired": 0}
    for digest, more in (("a", {}), ("b", {"undone": NOW}), ("c", {"kind": "people"}), ("d", {"taken": 0})):
        Import.objects.create(**{"kind": "readings", "digest": digest, **counts, **more})
    assert set(names(Import.objects.in_force(), "digest")) == {"a", "c", "d"}
    assert [Import.objects.readings_of(digest).count() for digest in "abcd"] == [1, 0, 0, 0]


def test_the_register_tells_those_entered_from_those_seen(book):
    Instrument.objects.create(name="T1", ward="Larch")
    Instrument.objects.create(name="T2", ward="", listed=False)
    assert names(Instrument.objects.listed()) == ["T1"] and names(Instrument.objects.unlisted()) == ["T2"]
    assert Instrument.objects.wards() == {"Larch"}


@pytest.mark.parametrize(("end", "lasts", "goes_on"), [
    (None, True, True),
    (DAY - timedelta(days=1), False, False),
    (DAY, True, False),
    (DAY + timedelta(days=1), True, True),
])  # fmt: skip
def test_what_ends_today_lasts_today_and_no_longer(book, end, lasts, goes_on):
    Instrument.objects.create(name="T1", end=end)
    assert Instrument.objects.lasting(DAY).exists() == lasts
    assert Instrument.objects.lasting_beyond(DAY).exists() == goes_on


@pytest.mark.parametrize(
    ("start", "end", "counts"), [(0, None, True), (1, None, False), (-3, 0, True), (-3, -1, False)]
)
def test_absences_and_champions_count_from_the_first_day_to_the_last(book, start, end, counts):
    days = {"start": DAY + timedelta(days=start), "end": None if end is None else DAY + timedelta(days=end)}
    ann = person("ann")
    Champion.objects.create(person=ann, ward="Larch", **days)
    Absence.objects.create(person=ann, reason="sick", actor="ines", **days)
    assert Champion.objects.on(DAY).exists() == Absence.objects.on(DAY).exists() == counts


def test_turns_of_duty_leave_days_away_and_unsettled_codes_out(book):
    ann, ben = person("ann", listed=False), person("ben")
    for code, kind, ward in (("E", "early", "Larch"), ("AL", "leave", ""), ("ZZ", "", "Rowan")):
        Shift.objects.create(person=ann, date=DAY, code=code, kind=kind, ward=ward)
    assert names(Shift.objects.on_duty(), "code") == ["E"]
    assert Shift.objects.wards() == {"Larch", "Rowan"}
    assert list(Person.objects.rostered()) == [ann], "once, however many turns"
    assert list(Person.objects.listed()) == [ben]


def test_sessions_planned_and_not_cancelled(book):
    for state in (Session.PLANNED, Session.HELD, Session.CANCELLED):
        Session.objects.create(time=NOW, state=state, code=state)
    assert names(Session.objects.planned(), "state") == [Session.PLANNED]
    assert names(Session.objects.not_cancelled(), "state") == [Session.PLANNED, Session.HELD]


def test_a_struck_sign_in_is_left_out_of_a_session_too(book):
    session = Session.objects.create(time=NOW, code="C")
    for how, struck in ((SignIn.PHONE, ""), (SignIn.PAPER, "a slip")):
        SignIn.objects.create(session=session, person=person(how), how=how, struck=struck, actor="ines")
    assert names(session.sign_ins.not_struck(), "how") == [SignIn.PHONE]


def test_a_pass_is_valid_until_it_ends_or_is_taken_back(book):
    hour = timedelta(hours=1)
    for digest, until, revoked in (("a", hour, None), ("b", -hour, None), ("c", hour, NOW)):
        Pass.objects.create(digest=digest, role="viewer", until=NOW + until, revoked=revoked, actor="ines")
    assert names(Pass.objects.valid(NOW), "digest") == ["a"]


def test_records_in_force_are_neither_replaced_nor_withdrawn_and_stay_locked(book, demonstration):
    amended = demonstration()
    latest = demonstration(amends=amended)
    demonstration(amends=demonstration(), outcome=Demonstration.WITHDRAWN)
    assert list(Demonstration.objects.in_force()) == [latest]
    with pytest.raises(RecordIsLocked):
        Demonstration.objects.in_force().update(ward="Larch")


@pytest.fixture
def demonstration(book):
    """Write a record of a demonstration down."""
    checklist = ControlledDocument.objects.create(kind="checklist", version=1, body={}, actor="ines")
    ann, ben = person("ann"), person("ben")

    def write(**more):
        facts = {"outcome": "signed-off", "attempt": 1, "method": "patient", "steps": {}, "time": NOW, **more}
        return Demonstration.objects.create(
            person=ann, assessor=ben, checklist=checklist, actor="ines", **facts
        )

    return write
