"""First readings, their past and their next, by hand on a stay of seven readings."""

import numpy as np
import pytest

from browline.readings import FACTORS, Readings
from browline.variation.problem import Problem
from browline.variation.retakes.first_readings import firsts

TEMPORAL, ORAL = 0, 1
ROUNDS = (
    (0.0, TEMPORAL, 36.0),
    (0.2, ORAL, 37.0),
    (6.0, TEMPORAL, 37.0),
    (12.0, ORAL, 38.0),
    (18.0, TEMPORAL, 38.0),
    (18.1, TEMPORAL, 37.5),
    (18.2, ORAL, 38.2),
)


@pytest.fixture
def problem() -> Problem:
    hours, site, value = (np.array(column) for column in zip(*ROUNDS, strict=True))
    codes = {f: np.full(7, -1, np.int32) for f in FACTORS}
    codes |= {"stay": np.zeros(7, np.int32), "site": site.astype(np.int32)}
    names = dict.fromkeys(FACTORS, ()) | {"stay": ("E0",), "site": ("temporal", "oral")}
    readings = Readings(500_000.0 + hours, hours % 24, value, codes, names)
    return Problem.from_readings(readings, reference_site="temporal")


def test_only_a_next_look_at_the_other_site_counts(problem):
    """At 18.0 h the next look was at the same site, so the mouth reading after it is no retake of the first."""
    got = firsts(problem, 0, 1)
    assert got.value.tolist() == [36.0, 37.0, 38.0]
    assert got.retaken.tolist() == [True, False, False]
    assert got.change.tolist() == [1.0, 0.0, 0.0]
    assert got.gap[0] == pytest.approx(0.2)


def test_a_reading_that_stands_alone_at_the_other_site_is_a_first_of_its_own(problem):
    got = firsts(problem, 1, 0)
    assert got.value.tolist() == [38.0]
    assert got.retaken.tolist() == [False]


def test_the_past_is_what_the_stay_showed_before(problem):
    """Forehead mean 37.125, mouth mean 37.7333; deviations -1.125, -0.7333, -0.125, 0.2667 before 18.0 h."""
    got = firsts(problem, 0, 1)
    mouth = 37.0 - (37.0 + 38.0 + 38.2) / 3
    assert np.isnan(got.previous[0]) and np.isnan(got.usual[0])
    assert got.previous[1:] == pytest.approx([mouth, mouth + 1.0])
    assert got.usual[1:] == pytest.approx([(-1.125 + mouth) / 2, (-1.125 + mouth - 0.125 + mouth + 1.0) / 4])
    assert got.following[:2] == pytest.approx([-0.125, 0.875]) and np.isnan(got.following[2])
    assert got.rise[2] == pytest.approx(1.0) and np.isnan(got.rise[:2]).all()


def test_surprise_is_against_the_reading_before_or_the_site(problem):
    got = firsts(problem, 0, 1)
    assert got.surprise[0] == pytest.approx(36.0 - 37.125)
    assert got.surprise[1] == pytest.approx(37.0 - 37.125 - got.previous[1])
