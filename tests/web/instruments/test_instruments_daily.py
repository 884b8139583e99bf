"""The daily part of the instruments' pages."""

import re
from datetime import timedelta

import fenwick_vale
import pytest
from django.utils import timezone

from browline.services.instruments import register as registers
from browline.services.instruments.rounds import Line, Round, record_round
from browline.store.models import Cleaning, Event, Instrument


def text(answer):
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


@pytest.fixture
def fleet(ines):
    """FS-07 of Larch in service, FS-08 seen in charts only; and FS-09 of Maple."""
    fenwick_vale.a_register()
    registers.add_instrument("FS-09", ward="Maple", unit="C", actor="educator")
    return ines


def walk(*lines, ward="Larch"):
    now = timezone.now()
    record_round(Round(ward, now - timedelta(minutes=5), tuple(lines)), actor="educator", now=now)


CLEANED = {
    "time": "2026-03-09T08:15",
    "part": "lens",
    "agent": "",
    "who": "",
    "instruments": ["FS-07", "FS-09"],
}


def test_it_opens_with_one_denominator(fleet):
    walk(Line("FS-07", "in-use"))
    page = text(fleet.get("/instruments/"))
    assert "1 of 2 in service are located: 0 present, 1 in use; 1 not located." in page
    assert "1 more seen that is not in the register." in page
    assert (
        page.index("in service are located") < page.index("Due today") < page.index("How far each reads off")
    )


def test_what_is_due_has_its_reason_and_its_deed(fleet):
    walk(Line("FS-07", "present", unit="F", battery="low", lens="dirty"))
    page = text(fleet.get("/instruments/"))
    for said in (
        "FS-07 (Larch): unit °F, registered °C",
        "Set it back to °C; where that cannot be done, bring a spare",
        "FS-07 (Larch): battery low",
        "Bring a battery",
        "FS-09 (Maple): not located",
        "FS-07 (Larch): lens seen dirty",
        "Clean the lens with what its instructions name",
        "FS-07 (Larch): check due",
    ):
        assert said in page, said


def test_a_deed_that_all_share_is_said_once(fleet):
    assert text(fleet.get("/instruments/")).count("Clean the lens with what its instructions name") == 1


def test_a_long_list_is_folded(fleet):
    for n in range(20, 26):
        registers.add_instrument(f"TB-{n}", ward="Maple", actor="educator")
    page = text(fleet.get("/instruments/"))
    assert "Lens to clean 8" in page and "5 more" in page


def test_a_need_is_stated(fleet):
    assert "how many are needed is not stated" in text(fleet.get("/instruments/"))
    page = text(fleet.post("/instruments/need/", {"ward": "Larch", "number": "3"}, follow=True))
    assert "no round yet; 3 needed" in page
    walk(Line("FS-07", "present", lens="dirty"))
    assert "0 ready of 3 needed: 3 short" in text(fleet.get("/instruments/"))
    assert fleet.post("/instruments/need/", {"ward": "Larch", "number": "-1"}).status_code == 422


def test_a_batterys_readings_are_stated(fleet):
    page = text(fleet.post("/instruments/batteries/", {"model": "Model A", "readings": "5500"}, follow=True))
    assert "Model A: 5,500 readings." in page
    assert fleet.post("/instruments/batteries/", {"model": "", "readings": "3"}).status_code == 422


def test_cleanings_are_entered_for_several(fleet):
    page = text(fleet.post("/instruments/cleanings/", CLEANED, follow=True))
    assert "Cleanings entered: 2." in page and "lens damage (" not in page
    assert Cleaning.objects.filter(part="lens").count() == 3
    assert "2 stood there already." in text(fleet.post("/instruments/cleanings/", CLEANED, follow=True))


def test_an_agent_that_damages_a_lens_is_cautioned(fleet):
    page = text(fleet.post("/instruments/cleanings/", CLEANED | {"agent": "bleach wipe"}, follow=True))
    assert "This agent is held to cause lens damage" in page


@pytest.mark.parametrize(
    "wrong",
    [
        {"instruments": []},
        {"instruments": ["FS-99"]},
        {"time": ""},
        {"time": "2999-01-01T00:00"},
        {"part": "x"},
    ],
)
def test_half_a_cleaning_is_refused_on_its_page(fleet, wrong):
    before = Cleaning.objects.count()
    answer = fleet.post("/instruments/cleanings/", CLEANED | wrong)
    assert answer.status_code == 422 and "Enter cleanings" in text(answer)
    assert Cleaning.objects.count() == before


def test_the_instrument_is_ticked_when_coming_from_its_page(fleet):
    page = fleet.get("/instruments/cleanings/?instrument=FS-09").content.decode()
    assert re.search(r'value="FS-09"[^>]*checked', page) and not re.search(r'value="FS-07"[^>]*checked', page)


def test_the_unit_chosen_stands_first_where_builds_differ(fleet):
    from browline.services.book.change_preference import set_choice

    assert "about 0.4 °C (0.7 °F)" in text(fleet.get("/instruments/add/"))
    set_choice("show_unit", "F", "ines")
    assert "about 0.7 °F (0.4 °C)" in text(fleet.get("/instruments/add/"))


def test_an_instrument_is_added(fleet):
    added = {
        "name": "FS-10",
        "ward": "Larch",
        "unit": "C",
        "mode": "core",
        "kind": "forehead-scan",
        "model": "",
    }
    page = text(fleet.post("/instruments/add/", added, follow=True))
    assert "FS-10 is in the register." in page and "No round has been made yet." in page
    assert Event.objects.filter(verb="register-added", subject="FS-10").exists()


def test_a_look_alike_needs_a_second_look(fleet):
    answer = fleet.post("/instruments/add/", {"name": "FS-O7"})
    page = text(answer)
    assert (
        answer.status_code == 422
        and "FS-O7 looks like FS-07" in page
        and "I have read the label again" in page
    )
    assert fleet.post("/instruments/add/", {"name": "FS-O7", "sure": "on"}).status_code == 302


def test_one_seen_only_in_charts_is_taken_in(fleet):
    assert "Add FS-08 to the register" in text(fleet.get("/instruments/"))
    assert 'value="FS-08"' in fleet.get("/instruments/add/?name=FS-08").content.decode()
    fleet.post("/instruments/add/", {"name": "FS-08", "ward": "Larch"})
    assert Instrument.objects.get(name="FS-08").listed


def test_retiring_asks_for_a_reason_and_a_stand_in(fleet):
    number = Instrument.objects.get(name="FS-07").pk
    day = (timezone.localdate() - timedelta(days=1)).isoformat()
    for wrong in ({"reason": ""}, {"replacement": ""}, {"replacement": "FS-07"}):
        answer = fleet.post(
            f"/instruments/{number}/retire/", {"on": day, "reason": "dropped", "replacement": "FS-09"} | wrong
        )
        assert answer.status_code == 422, wrong
    page = text(
        fleet.post(
            f"/instruments/{number}/retire/",
            {"on": day, "reason": "dropped", "replacement": "FS-09"},
            follow=True,
        )
    )
    assert "retired: dropped; in its place FS-09" in page
    assert "1 is in service. No round has been made yet." in text(fleet.get("/instruments/"))
    assert "is in service again" in text(fleet.post(f"/instruments/{number}/reinstate/", follow=True))


def test_an_instruments_page_shows_rounds_and_what_is_due(fleet):
    walk(Line("FS-07", "present", lens="cleaned", unit="F", battery="new"))
    page = text(fleet.get(f"/instruments/{Instrument.objects.get(name='FS-07').pk}/"))
    assert "Present. Last found" in page and "unit °F, registered °C" in page
    assert "present on Larch; lens cleaned on the round; °F; battery new" in page
    assert "within its date" in page


def test_one_that_only_charts_know_has_a_page_all_the_same(fleet):
    page = text(fleet.get(f"/instruments/{Instrument.objects.get(name='FS-08').pk}/"))
    assert "Add it to the register" in page
