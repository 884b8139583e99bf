"""Two people of one name: nobody is taken for the other, whatever was matched before."""

from datetime import UTC, datetime

import pytest

TIME = datetime(2026, 3, 7, 21, 30, tzinfo=UTC)
NAME = "Dunmore, Dev"


@pytest.fixture
def devs(book):
    """Two nurses of one name on two wards."""
    from browline.services.training.sessions.matching import put_on_list, unlisted

    for identifier, ward in (("S1004", "Maple"), ("S1009", "Oak")):
        put_on_list(unlisted(identifier).pk, name="Dev Dunmore", ward=ward, actor="educator")


@pytest.fixture
def evening(devs):
    from browline.services.training.sessions import plan_session

    return plan_session(TIME, ward="Maple", actor="educator")


def matched(session, typed, identifier):
    """An entry of this text that a phone brought, matched to the person of this identifier."""
    from browline.services.training.sessions.matching import match
    from browline.services.training.sessions.signing_in import sign_in
    from browline.store.models import Person

    seen = sign_in(session, typed, "phone", actor="phone").person
    match(seen.pk, Person.objects.get(identifier=identifier).pk, actor="educator")


def test_a_match_says_who_was_meant_once_and_nothing_of_the_next_time(evening):
    from browline.errors import InputRefused
    from browline.services.training.sessions.matching import person_meant

    matched(evening, NAME, "S1004")
    with pytest.raises(InputRefused, match=r"S1004 \(Maple\), S1009 \(Oak\)"):
        person_meant(NAME)
    with pytest.raises(InputRefused, match="staff identifier"):
        person_meant("dev  dunmore")


def test_a_match_holds_while_one_person_has_the_name_and_no_longer_when_a_second_comes(book):
    from browline.errors import InputRefused
    from browline.services.training.sessions import plan_session
    from browline.services.training.sessions.matching import person_meant, put_on_list, unlisted

    put_on_list(unlisted("S1004").pk, name="Devendra Dunmore", actor="educator")
    matched(plan_session(TIME, actor="educator"), NAME, "S1004")
    assert person_meant(NAME).identifier == "S1004"
    put_on_list(unlisted("S1009").pk, name="Dev Dunmore", actor="educator")
    with pytest.raises(InputRefused):
        person_meant(NAME)


def test_a_phone_is_told_of_nobody_and_the_entry_waits_to_be_matched_again(evening):
    from browline.services.training.sessions import plan_session
    from browline.services.training.sessions.matching import unmatched
    from browline.services.training.sessions.signing_in import sign_in

    matched(evening, NAME, "S1004")
    other = plan_session(TIME.replace(day=8), actor="educator")
    assert not sign_in(other, NAME, "phone", actor="phone").on_the_list
    assert [entry.identifier for entry in unmatched()] == [NAME]


def test_a_line_of_a_paper_sheet_is_asked_about(evening):
    from browline.errors import InputRefused
    from browline.services.training.sessions.signing_in import sign_in

    with pytest.raises(InputRefused, match="S1009"):
        sign_in(evening, NAME, "paper", actor="educator")


def test_a_file_that_names_them_is_not_read_by_an_earlier_match(book, evening, tmp_path):
    from browline.services.imports.run import import_file
    from browline.store.models import Attendance

    matched(evening, NAME, "S1004")
    path = tmp_path / "sessions.csv"
    path.write_text(f'person,time,ward,outcome\n"{NAME}",2026-03-09 21:30,Oak,attended\n')
    import_file(book, path, kind="sessions", zone="UTC")
    assert Attendance.objects.get(time=TIME.replace(day=9)).person.identifier == NAME


def test_a_roster_that_names_one_of_them_is_not_read_by_an_earlier_match(book, evening, tmp_path):
    from browline.services.imports.run import import_file
    from browline.store.models import Shift

    matched(evening, NAME, "S1004")
    path = tmp_path / "roster.csv"
    path.write_text(f'Name,02/03/2026,03/03/2026,04/03/2026\n"{NAME}",N,N,\n')
    (entry,) = import_file(book, path, kind="roster", today=TIME.date()).files
    assert [r["code"] for r in entry["reasons"]] == ["two-of-this-name"] and not Shift.objects.exists()


@pytest.mark.parametrize("locked", ["seconded", "second_scores"])
def test_an_entry_that_bore_witness_stays_who_it_is(evening, locked, monkeypatch):
    from django.utils import timezone

    from browline.errors import InputRefused
    from browline.services.materials import documents
    from browline.services.training.sessions.matching import match, unlisted
    from browline.store.models import Demonstration, Person, SecondScore

    entry, hana = unlisted("A-99"), unlisted("00417")
    facts = {
        "person": hana,
        "assessor": hana,
        "checklist": documents.stored("checklist", timezone.localdate()),
    }
    seconder = {"second": entry} if locked == "seconded" else {}
    seen = Demonstration.objects.create(
        **facts,
        **seconder,
        time=TIME,
        method="real",
        steps={},
        outcome="not-yet",
        attempt=1,
        actor="educator",
    )
    if locked == "second_scores":
        SecondScore.objects.create(demonstration=seen, assessor=entry, steps={}, outcome="not-yet", actor="e")
    with pytest.raises(InputRefused, match="locked"):
        match(entry.pk, Person.objects.get(identifier="S1004").pk, actor="educator")


def test_a_record_from_a_phone_for_one_of_them_waits_until_it_is_said_who(evening):
    from browline.errors import InputRefused
    from browline.services.training.demonstrations.submissions import _person

    matched(evening, NAME, "S1004")
    with pytest.raises(InputRefused, match=r"S1004 \(Maple\), S1009 \(Oak\)"):
        _person({"person_typed": NAME})
