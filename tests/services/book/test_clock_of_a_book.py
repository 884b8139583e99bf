"""The hospital's clock: chosen once, and plans keep their hour when it is changed."""

import os
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from browline.services.book import change_preference, clock
from browline.services.book.change_preference import set_choice
from browline.services.book.preferences import choice

LONDON, NEW_YORK = ZoneInfo("Europe/London"), ZoneInfo("America/New_York")


def _tomorrow_at(hour, zone):
    return (timezone.now().astimezone(zone) + timedelta(days=1)).replace(
        hour=hour, minute=0, second=0, microsecond=0
    )


@pytest.fixture
def london(book):
    set_choice("zone", "Europe/London", "Ines")


def test_a_session_to_come_keeps_its_hour_when_the_zone_is_changed(london):
    from browline.store.models import Session

    Session.objects.create(time=_tomorrow_at(8, LONDON), code="CDFGHJ")
    set_choice("zone", "America/New_York", "Ines")
    assert Session.objects.get().time.astimezone(NEW_YORK).hour == 8


def test_a_turn_to_come_keeps_its_hours(london):
    from browline.store.models import Person, Shift

    start = _tomorrow_at(19, LONDON)
    person = Person.objects.create(identifier="00417", pseudonym=7)
    Shift.objects.create(
        person=person, date=start.date(), code="N", kind="night", start=start, end=start + timedelta(hours=12)
    )
    set_choice("zone", "America/New_York", "Ines")
    turn = Shift.objects.get()
    assert [turn.start.astimezone(NEW_YORK).hour, turn.end.astimezone(NEW_YORK).hour] == [19, 7]


@pytest.mark.parametrize("state", ["held", "cancelled"])
def test_what_is_settled_happened_when_it_happened(london, state):
    from browline.store.models import Session

    when = _tomorrow_at(8, LONDON)
    Session.objects.create(time=when, code="CDFGHJ", state=state)
    set_choice("zone", "America/New_York", "Ines")
    assert Session.objects.get().time == when


def test_a_session_that_is_over_stays(london):
    from browline.store.models import Session

    when = timezone.now() - timedelta(days=2)
    Session.objects.create(time=when, code="CDFGHJ")
    set_choice("zone", "America/New_York", "Ines")
    assert Session.objects.get().time == when


def test_a_new_book_takes_this_computers_zone(book):
    assert (
        change_preference.take_computers_zone("America/New_York", "educator")
        == "America/New_York"
        == choice("zone")
    )


def test_a_zone_that_was_chosen_is_left(london):
    assert (
        change_preference.take_computers_zone("America/New_York", "educator") == ""
        and choice("zone") == "Europe/London"
    )


def test_a_book_of_times_as_charted_is_left_alone(book, export):
    from browline.services.imports.run import import_file

    import_file(book, export("stay,time,temp\nV1,2026-03-07 06:00,36.6\n"))
    assert (
        change_preference.take_computers_zone("America/New_York", "educator") == "" and choice("zone") == ""
    )


OPEN = """
import sys, types
from pathlib import Path
from browline.settings.launch import set_up_django
set_up_django()
sys.modules["browline.web.server"] = types.SimpleNamespace(serve=lambda *given, **more: None)
from browline.cli.pages import pages
pages(book=Path(sys.argv[1]), browser=False)
"""


@pytest.mark.parametrize("zone", ["America/New_York", "Asia/Kolkata"])
def test_the_pages_give_a_new_book_the_zone_of_the_computer_they_are_opened_on(tmp_path, zone):
    around = {**os.environ, "TZ": zone, "BROWLINE_KEYS": str(tmp_path / "keys")}
    around.pop("DJANGO_SETTINGS_MODULE", None)
    command = [sys.executable, "-c", OPEN, str(tmp_path / "book")]
    said = subprocess.run(command, env=around, capture_output=True, text=True, check=True)
    assert f"Times of this book are those of {zone}" in said.stdout
    again = subprocess.run(command, env={**around, "TZ": "UTC"}, capture_output=True, text=True, check=True)
    assert "Times of this book" not in again.stdout


def test_the_day_is_the_hospitals(london):
    set_choice("zone", "America/New_York", "Ines")
    assert clock.local_day(datetime(2026, 3, 8, 1, tzinfo=UTC)) == date(2026, 3, 7)
