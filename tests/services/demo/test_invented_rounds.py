"""Rounds of the invented hospital: every instrument of the register looked at once, cleanings follow from them."""

from collections import Counter
from datetime import UTC, datetime

import pytest

from browline.services.demo.rounds import walk

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def register(book):
    from browline.store.models import Instrument

    for k in range(60):
        Instrument.objects.create(name=f"T{k:03d}", ward=f"Ward {k % 3}", unit="C", mode="core")
    return book


def test_every_instrument_is_looked_at_once_in_the_last_days(register):
    from browline.store.models import Sighting

    assert walk(register, NOW, seed=1) == 3
    assert Counter(Sighting.objects.values_list("instrument__name", flat=True)).most_common(1)[0][1] == 1
    assert Sighting.objects.count() == 60
    assert all(0 < (NOW - s.time).total_seconds() < 96 * 3600 for s in Sighting.objects.all())


def test_a_lens_cleaned_on_the_way_is_a_cleaning(register):
    from browline.store.models import Cleaning, Sighting

    walk(register, NOW, seed=1)
    assert Cleaning.objects.count() == Sighting.objects.filter(lens="cleaned").count() > 0


def test_it_is_done_once(register):
    walk(register, NOW, seed=1)
    assert walk(register, NOW, seed=1) == 0
