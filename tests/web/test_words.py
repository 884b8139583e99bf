"""Numbers, times and chances in words."""

import doctest
from datetime import UTC, datetime

import pytest

from browline import display
from browline.web import filters


def test_the_examples_in_the_text_run():
    assert doctest.testmod(filters).failed == 0


@pytest.mark.parametrize(
    "probability, said",
    [
        (None, "cannot be said"),
        (1.0, "virtually certain (more than 99 in 100)"),
        (0.99, "virtually certain (99 in 100)"),
        (0.95, "extremely likely (95 in 100)"),
        (0.9499, "very likely (95 in 100)"),
        (0.66, "likely (66 in 100)"),
        (0.5, "as likely as not (50 in 100)"),
        (0.2, "unlikely (20 in 100)"),
        (0.0, "very unlikely (fewer than 1 in 100)"),
    ],
)
def test_a_chance_in_words(probability, said):
    # Limits of each word: IPCC guidance note on uncertainty 2010, table 1 (from memory).
    assert display.how_sure(probability) == said


def test_a_time_cannot_be_misread():
    assert filters.moment(datetime(2026, 3, 7, 14, 5, tzinfo=UTC)) == "07 Mar 2026 14:05"
    assert filters.moment("2026-03-07T14:05:00Z") == "07 Mar 2026 14:05"
    assert filters.day("2026-03-07") == "07 Mar 2026"


def test_a_difference_moves_by_the_factor_only():
    # Definition of the scales: 1 °C is 1.8 °F, 37 °C is 98.6 °F.
    assert filters.difference(-1.0) == "−1.00 °C (−1.80 °F)"
    assert filters.temperature(37.0) == "37.0 °C (98.6 °F)"


def test_a_share_is_no_temperature():
    share = {"effect": 0.312, "low": 0.28, "high": 0.34, "unit": "share"}
    assert filters.size(share) == "31.2 %"
    assert filters.interval(share) == "28.0 % to 34.0 %"


def test_what_is_not_known_is_not_a_number():
    assert filters.size({"effect": None, "unit": "C"}) == "cannot be said"
    assert filters.interval({"low": None, "high": 1.0, "unit": "C"}) == "cannot be said"
    assert filters.count(None) == ""
