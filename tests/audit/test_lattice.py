"""What conversion does to the numbers of a chart: arithmetic, checked in exact fractions."""

from collections import Counter
from fractions import Fraction

import numpy as np
import pytest

from browline.audit.recording_grid import CELSIUS, FAHRENHEIT, converted_weight


def _tenth(exact):
    """The nearest tenth of an exact number, in tenths."""
    return round(exact * 10)


def _landed_in_celsius():
    return Counter(_tenth((Fraction(t, 10) - 32) * 5 / 9) for t in range(800, 1200))


def _landed_in_fahrenheit():
    return Counter(_tenth(Fraction(t, 10) * 9 / 5 + 32) for t in range(250, 480))


def test_weights_are_the_enumerated_conversions():
    landed = _landed_in_celsius()
    expected = [landed[int(t)] * 5 / 9 for t in CELSIUS.steps]
    np.testing.assert_allclose(converted_weight(CELSIUS), expected, atol=1e-12)
    landed = _landed_in_fahrenheit()
    expected = [landed[int(t)] * 9 / 5 for t in FAHRENHEIT.steps]
    np.testing.assert_allclose(converted_weight(FAHRENHEIT), expected, atol=1e-12)


def test_eight_of_eighteen_fahrenheit_tenths_never_come_from_a_celsius_instrument():
    whole_periods = converted_weight(FAHRENHEIT)[: 18 * 8]
    assert (whole_periods == 0).sum() / len(whole_periods) == pytest.approx(8 / 18)  # 44 %


def test_98_6_is_heaped_by_conversion_alone_and_its_neighbours_are_impossible():
    weight = dict(zip(FAHRENHEIT.steps.tolist(), converted_weight(FAHRENHEIT), strict=True))
    assert weight[986] == pytest.approx(1.8)
    assert [weight[t] for t in (985, 987, 989)] == [0, 0, 0]


def test_whole_and_half_degrees_come_half_as_often_from_a_fahrenheit_instrument():
    weight = dict(zip(CELSIUS.steps.tolist(), converted_weight(CELSIUS), strict=True))
    assert {round(w, 6) for t, w in weight.items() if t % 5 == 0} == {round(5 / 9, 6)}
    assert {round(w, 6) for t, w in weight.items() if t % 5} == {round(10 / 9, 6)}


def test_a_number_is_found_only_on_its_own_tenths_and_in_range():
    places = CELSIUS.places(np.array([34.0, 36.5, 36.67, 42.0, 42.1, 33.9, 98.6]))
    assert places.tolist() == [0, 25, -1, 80, -1, -1, -1]
    assert FAHRENHEIT.written(int(FAHRENHEIT.places(np.array([100.4]))[0])) == "100.4 °F"
