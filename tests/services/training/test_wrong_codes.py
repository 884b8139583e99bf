"""Wrong codes: twenty in ten minutes hold an address back, whatever process counted them and whatever the clock did."""

from datetime import UTC, datetime, timedelta

import pytest

NOW = datetime(2026, 3, 2, 21, 0, tzinfo=UTC)
PHONE, OTHER = "192.0.2.9", "192.0.2.10"
MINUTE, SECOND = timedelta(minutes=1), timedelta(seconds=1)


@pytest.fixture
def codes(book):
    from browline.services.training.sessions import wrong_codes

    return wrong_codes


def tried(codes, times, at=NOW, address=PHONE):
    for _ in range(times):
        codes.count_wrong(address, at)


def test_the_twentieth_holds_this_address_back_and_no_other(codes):
    tried(codes, 19)
    assert not codes.blocked(PHONE, NOW)
    tried(codes, 1)
    assert codes.blocked(PHONE, NOW) and not codes.blocked(OTHER, NOW)


def test_it_ends_ten_minutes_after_the_first_of_them(codes):
    tried(codes, 20)
    assert codes.blocked(PHONE, NOW + 10 * MINUTE - SECOND)
    assert not codes.blocked(PHONE, NOW + 10 * MINUTE)


def test_it_holds_for_another_process_and_after_a_start_anew(codes):
    """What a process remembers of itself is gone when its modules are loaded anew; the book's count is not."""
    import importlib

    tried(codes, 20)
    assert importlib.reload(codes).blocked(PHONE, NOW)


def test_what_was_counted_while_the_clock_stood_ahead_holds_nobody_back_and_is_swept(codes):
    from browline.store.models import WrongCode

    tried(codes, 20, at=NOW + timedelta(days=365))
    assert not codes.blocked(PHONE, NOW)
    tried(codes, 1, address=OTHER)
    assert WrongCode.objects.count() == 1


def test_a_clock_set_back_a_little_holds_back_for_twenty_minutes_at_most(codes):
    tried(codes, 20, at=NOW + 5 * MINUTE)
    assert not codes.blocked(PHONE, NOW) and codes.blocked(PHONE, NOW + 6 * MINUTE)
    assert not codes.blocked(PHONE, NOW + 15 * MINUTE)


def test_old_rows_are_swept(codes):
    from browline.store.models import WrongCode

    tried(codes, 5)
    tried(codes, 1, at=NOW + 11 * MINUTE)
    assert WrongCode.objects.count() == 1


def test_of_too_many_addresses_the_one_first_counted_is_forgotten(codes, monkeypatch):
    monkeypatch.setattr(codes, "REMEMBERED", 2)
    for address in (PHONE, OTHER):
        tried(codes, 20, address=address)
    tried(codes, 1, address="192.0.2.11")
    assert not codes.blocked(PHONE, NOW) and codes.blocked(OTHER, NOW)


def test_the_book_keeps_no_address(codes):
    from browline.store.models import WrongCode

    tried(codes, 1)
    assert PHONE not in str(WrongCode.objects.values().get())
