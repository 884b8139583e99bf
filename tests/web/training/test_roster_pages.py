"""The Roster page: look, settle codes once, take; absences confirmed; entries on no list matched."""

import re
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from roster_cases import as_csv, grid


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def people(book):
    from browline.services.training.sessions.matching import put_on_list, unlisted

    for identifier, name in (("00417", "Hana Alderley"), ("00938", "Bram Copeden"), ("01200", "Una Fenwick")):
        put_on_list(unlisted(identifier).pk, name=name, ward="Maple", actor="educator")


def bring(ines, rows=None):
    upload = SimpleUploadedFile("maple.csv", as_csv(rows or grid()).encode())
    answer = ines.post("/teaching/roster/bring/", {"files": upload})
    assert answer.status_code == 302
    return answer["Location"]


def take(ines, address, **filled):
    return ines.post(address, {"ward": "", "c0-code": "XQ", **filled}, follow=True)


def test_she_sees_what_a_roster_says_before_anything_is_taken(ines, people):
    from browline.store.models import Shift

    shown = text(ines.get(bring(ines)))
    assert "02 Mar 2026" in shown and "15 Mar 2026" in shown
    assert "staff down, days across" in shown and "XQ" in shown
    assert "<strong>N</strong> (6): night, 19:00 to 07:30" in shown, "the hours assumed are told"
    assert not Shift.objects.exists()


def test_she_settles_a_code_while_taking_and_gets_a_receipt(ines, people):
    from browline.store.models import Shift, ShiftCode

    filled = {"c0-kind": "late", "c0-start": "14:00", "c0-end": "22:00"}
    answer = take(ines, bring(ines), **filled)
    assert "Roster, taken in" in text(answer)
    assert ShiftCode.objects.get().code == "XQ"
    assert not Shift.objects.filter(kind="").exists()


def test_a_turn_of_duty_needs_its_hours(ines, people):
    from browline.store.models import Shift

    answer = take(ines, bring(ines), **{"c0-kind": "late"})
    assert answer.status_code == 422 and "Say when it begins and ends" in text(answer)
    assert not Shift.objects.exists()


def test_a_code_left_open_is_asked_for_until_it_is_settled(ines, people):
    from browline.store.models import Shift

    answer = take(ines, bring(ines))
    assert "The code is not settled yet" in text(answer)
    assert "Take this repair back" not in text(answer)
    assert "Codes that nobody has settled" in text(ines.get("/teaching/roster/"))
    said = {"c0-code": "XQ", "c0-kind": "off"}
    assert "1 settled" in text(ines.post("/teaching/roster/codes/", said, follow=True))
    assert Shift.objects.get(code="XQ").kind == "off"
    assert "Codes that nobody has settled" not in text(ines.get("/teaching/roster/"))


def test_a_settled_code_can_be_changed_everywhere_also_one_with_a_slash(ines, people):
    from browline.store.models import Shift

    take(ines, bring(ines))
    page = text(ines.get("/teaching/roster/"))
    assert "/teaching/roster/codes/AL/" in page
    assert ines.get("/teaching/roster/codes/A/L/").status_code == 200
    said = {"code": "AL", "kind": "study"}
    assert "changed, in every turn" in text(ines.post("/teaching/roster/codes/AL/", said, follow=True))
    assert set(Shift.objects.filter(code="AL").values_list("kind", flat=True)) == {"study"}


def test_the_same_file_again_says_so(ines, people):
    take(ines, bring(ines), **{"c0-kind": "off"})
    assert "Everything in this file was here already" in text(take(ines, bring(ines)))


def test_long_leave_is_confirmed_or_denied(ines, people):
    from browline.store.models import Absence, Person

    today = timezone.localdate()
    monday = today - timedelta(days=today.weekday())
    take(ines, bring(ines, grid([f"{monday + timedelta(days=k):%d/%m/%Y}" for k in range(14)])))
    una = Person.objects.get(identifier="01200")
    assert "Una Fenwick" in text(ines.get("/teaching/roster/"))
    ines.post(f"/teaching/roster/absence/{una.pk}/")
    kept = Absence.objects.get()
    assert (kept.person, kept.reason, kept.start.isoformat()) == (una, "long-leave", monday.isoformat())
    ines.post(f"/teaching/roster/absence/{una.pk}/")
    assert Absence.objects.count() == 1
    assert "Away for long?" not in text(ines.get("/teaching/roster/"))


def test_an_entry_on_no_list_is_matched_or_put_on_the_list(ines, people):
    from browline.store.models import Person

    rows = [
        ["Name", "02/03/2026", "03/03/2026", "04/03/2026"],
        ["H. Alder", "N", "", ""],
        ["Vera Selwick", "E", "", ""],
    ]
    take(ines, bring(ines, rows))
    hers, new = Person.objects.get(identifier="H. Alder"), Person.objects.get(identifier="Vera Selwick")
    assert "H. Alder" in text(ines.get("/teaching/roster/unmatched/"))
    wrong = ines.post(f"/teaching/roster/unmatched/{hers.pk}/", {"person": "nobody"})
    assert wrong.status_code == 422 and "Nobody on the list" in text(wrong)
    done = text(ines.post(f"/teaching/roster/unmatched/{hers.pk}/", {"person": "00417"}, follow=True))
    assert "Matched to Hana Alderley" in done
    ines.post(f"/teaching/roster/unmatched/{new.pk}/", {"own": "1"})
    assert Person.objects.get(pk=new.pk).listed
    assert Person.objects.get(identifier="00417").shifts.count() == 1
    assert "None: everybody" in text(ines.get("/teaching/roster/unmatched/"))


def test_what_is_no_roster_is_refused_in_words(ines, people):
    answer = ines.get(bring(ines, [["Time", "Temp"], ["2026-03-07 10:00", "36.6"]]))
    assert answer.status_code == 422 and "No roster was found" in text(answer)


def test_a_roster_dropped_on_readings_is_sent_here(ines, people):
    upload = SimpleUploadedFile("maple.csv", as_csv(grid()).encode())
    answer = ines.get(ines.post("/readings/bring/", {"files": upload})["Location"])
    assert answer.status_code == 422 and "on the Roster page" in text(answer)


def test_without_a_file_she_is_told(ines):
    assert "No file came" in text(ines.post("/teaching/roster/bring/", follow=True))


def test_every_field_has_a_label(ines, people):
    shown = ines.get(bring(ines)).content.decode()
    labelled = set(re.findall(r'<label[^>]*for="([^"]+)"', shown))
    fields = set(re.findall(r'<(?:select|input)(?![^>]*type="hidden")[^>]*id="([^"]+)"', shown))
    assert fields and fields <= labelled


def test_where_the_roster_is_the_list_of_staff_all_come_on_it_at_once(ines):
    from browline.store.models import Person

    take(ines, bring(ines))
    page = text(ines.get("/teaching/roster/unmatched/"))
    assert "Put all 3 on the list" in page
    assert "3 put on the list" in text(ines.post("/teaching/roster/unmatched/list-rostered/", follow=True))
    assert sorted(Person.objects.filter(listed=True).values_list("identifier", "name")) == [
        ("00417", "Alderley, Hana"), ("00938", "Bram Copeden"), ("01200", "Una Fenwick"),
    ]  # fmt: skip


def test_hundreds_of_entries_do_not_make_an_endless_page(ines):
    from browline.store.models import Person
    from browline.web.training.roster.views import ENTRIES_SHOWN

    rows = [
        ["Name", "02/03/2026", "03/03/2026", "04/03/2026"],
        *[[f"Name {k}x", "N", "", ""] for k in range(70)],
    ]
    take(ines, bring(ines, rows))
    shown = text(ines.get("/teaching/roster/unmatched/"))
    assert shown.count('class="panel"') == ENTRIES_SHOWN and f"{70 - ENTRIES_SHOWN} more follow" in shown
    assert Person.objects.count() == 70


def test_lines_of_one_name_are_asked_about_before_anything_is_taken(ines):
    from browline.store.models import Person

    days = ["02/03/2026", "03/03/2026", "04/03/2026"]
    rows = [
        ["Name", "Ward", *days],
        ["Dunmore, Dev", "Night A", "N", "", ""],
        ["Dunmore, Dev", "Early B", "QZ", "", ""],
    ]
    address = bring(ines, rows)
    shown = text(ines.get(address))
    assert "Night A (row 2); Early B (row 3)" in shown and "one person on a split post" in shown
    assert "QZ stands for" in shown, "codes of lines that may be set aside are asked for too"
    take(ines, address, **{"n0-answer": "two", "c0-code": "QZ"})
    assert sorted(Person.objects.values_list("identifier", flat=True)) == [
        "Dunmore, Dev", "Dunmore, Dev (Early B)",
    ]  # fmt: skip


@pytest.fixture
def tonight(people):
    from browline.services.training.sessions import plan_session

    return plan_session(timezone.now(), ward="Maple", actor="educator")


def test_an_entry_that_was_nobody_is_struck_and_gone(ines, tonight):
    from browline.services.training.sessions.signing_in import sign_in
    from browline.store.models import Attendance, SignIn

    entry = sign_in(tonight, "asdf", "phone", actor="phone").person
    assert "This was nobody" in text(ines.get("/teaching/roster/unmatched/"))
    address = f"/teaching/roster/unmatched/{entry.pk}/nobody/"
    assert ines.post(address, {"why": " "}).status_code == 422
    assert "1 sign-in struck" in text(ines.post(address, {"why": "typed by mistake"}, follow=True))
    assert "None: everybody" in text(ines.get("/teaching/roster/unmatched/"))
    assert SignIn.objects.get().struck == "typed by mistake" and not Attendance.objects.exists()


def test_an_entry_whose_every_sign_in_was_struck_waits_for_nothing(ines, tonight):
    from browline.services.training.sessions.signing_in import sign_in
    from browline.services.training.sessions.striking import strike

    entry = sign_in(tonight, "asdf", "phone", actor="phone").person
    sign_in(tonight, "asdf", "paper", actor="educator")
    strike(tonight, entry.pk, "phone", "nonsense", actor="educator")
    assert "asdf" in text(ines.get("/teaching/roster/unmatched/"))
    strike(tonight, entry.pk, "paper", "nonsense", actor="educator")
    assert "asdf" not in text(ines.get("/teaching/roster/unmatched/"))


def test_somebody_of_a_roster_is_not_nobody(ines, people):
    from browline.store.models import Person

    rows = [["Name", "02/03/2026", "03/03/2026", "04/03/2026"], ["Vera Selwick", "E", "", ""]]
    take(ines, bring(ines, rows))
    vera = Person.objects.get(identifier="Vera Selwick")
    assert "This was nobody" not in text(ines.get("/teaching/roster/unmatched/"))
    assert ines.post(f"/teaching/roster/unmatched/{vera.pk}/nobody/", {"why": "x"}).status_code == 422


def test_an_entry_of_a_name_that_two_have_is_shown_with_both_and_a_heading_of_its_own(ines, tonight):
    from browline.services.training.sessions.matching import put_on_list, unlisted
    from browline.services.training.sessions.signing_in import sign_in
    from browline.store.models import Person

    put_on_list(unlisted("01300").pk, name="Hana Alderley", ward="Oak", actor="educator")
    sign_in(tonight, "Hana Alderley", "phone", actor="phone")
    other = sign_in(tonight, "A-99", "phone", actor="phone").person
    Person.objects.filter(pk=other.pk).update(name="Hana Alderley")
    shown = text(ines.get("/teaching/roster/unmatched/"))
    assert shown.count("On the list under this name: 00417 (Maple), 01300 (Oak).") == 2
    headings = re.findall(r'<h2 id="entry-\d+">(.*?)</h2>', shown)
    assert len(headings) == len(set(headings)) == 2


def test_the_receipt_leads_on_to_the_roster_and_to_entries_on_no_list(ines, people):
    shown = text(take(ines, bring(ines)))
    assert 'href="/teaching/roster/"' in shown.split("<main")[1]
    assert 'href="/teaching/roster/unmatched/"' in shown


def test_she_is_told_how_two_codes_in_a_cell_are_read(ines, people):
    assert "Two codes in one cell, such as E/L, are two turns of that day" in text(ines.get(bring(ines)))
