"""Questioned readings of the invented hospital: logged as by hand, once, and what was planted recurs."""

from datetime import UTC, datetime

import pytest

from browline.services.demo.questioned import CAUSES, RECURRING, doubt
from browline.services.questioned.learning import asks, learned
from browline.services.questioned.log import standing_lines

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def register(book):
    from browline.store.models import Instrument

    for k in range(40):
        Instrument.objects.create(name=f"T{k:03d}", ward=f"Ward {k % 3}", unit="C", mode="core")
    return book


@pytest.mark.parametrize("seed", [1, 2])
def test_the_instrument_planted_is_the_one_named(register, seed):
    often = doubt(register, NOW, seed=seed)
    assert [ask.instrument for ask in asks(register, NOW)] == [often]


def test_it_is_logged_once_and_teaches_something(register):
    doubt(register, NOW, seed=1)
    assert doubt(register, NOW, seed=1) == ""
    assert standing_lines().count() == sum(CAUSES.values()) + RECURRING
    assert learned(register, NOW).causes.bars[0].cause == "damp"


def test_covered_skin_reads_high_and_the_rest_low(register):
    """Common practice, no source."""
    doubt(register, NOW, seed=1)
    for line in standing_lines():
        scanned, oral = (value["value"] for value in line.values)
        assert (scanned > oral) == (line.cause == "covered"), line.cause


def test_without_a_register_nothing_is_logged(book):
    assert doubt(book, NOW, seed=1) == "" and not standing_lines().exists()
