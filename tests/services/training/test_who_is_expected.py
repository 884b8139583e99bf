"""Who a session expects: on duty by the roster, and not away on that day of the hospital's clock."""

from datetime import UTC, date, datetime, timedelta

import pytest

TIME = datetime(2026, 3, 7, 21, 30, tzinfo=UTC)


@pytest.fixture
def hana(book):
    """On duty on Maple around the time of the session."""
    from browline.services.training.sessions.matching import put_on_list, unlisted
    from browline.store.models import Person, Shift

    put_on_list(unlisted("00417").pk, name="Hana Alderley", actor="educator")
    found = Person.objects.get()
    Shift.objects.create(
        person=found, date=TIME.date(), ward="Maple", code="N", kind="night",
        start=TIME - timedelta(hours=8), end=TIME + timedelta(hours=8),
    )  # fmt: skip
    return found


def away(person, start, end):
    from browline.store.models import Absence

    Absence.objects.create(person=person, start=start, end=end, reason="long-leave", actor="educator")


def expected_at(time):
    from browline.services.training.sessions import plan_session
    from browline.services.training.sessions.expected import expected

    return [line.person.identifier for line in expected(plan_session(time, ward="Maple", actor="educator"))]


def test_an_absence_gone_by_and_one_to_come_take_nobody_away_today(hana):
    away(hana, date(2025, 1, 1), date(2025, 2, 1))
    away(hana, date(2026, 6, 1), None)
    assert expected_at(TIME) == ["00417"]


def test_somebody_away_on_the_day_is_not_expected(hana):
    away(hana, date(2026, 3, 7), date(2026, 3, 7))
    assert expected_at(TIME) == []


def test_the_day_is_that_of_the_hospitals_clock(hana):
    """20:30 on 7 March in New York is 01:30 UTC on the 8th (UTC-5 until the second Sunday of March)."""
    from browline.services.book.change_preference import set_choice

    set_choice("zone", "America/New_York", "educator")
    evening = datetime(2026, 3, 8, 1, 30, tzinfo=UTC)
    away(hana, date(2026, 3, 8), None)
    assert expected_at(evening) == ["00417"]
    away(hana, date(2026, 3, 7), date(2026, 3, 7))
    assert expected_at(evening) == []
