"""First readings never charted: the answer moves as worked out by hand, and to the truth where some are missing."""

import numpy as np
import pytest
from invented_retakes import TRUTHS, retakes

from browline.variation.problem import Problem
from browline.variation.retakes import pair_estimate
from browline.variation.retakes.direction import Direction
from browline.variation.retakes.first_readings import Firsts
from browline.variation.retakes.sensitivity import moved
from browline.variation.retakes.standardised import Standardised

NONE = np.full(1000, np.nan)


def order() -> Direction:
    """1,000 firsts: 100 low ones retaken with chance 0.5 (50 are, change +1), 900 with 0.1 (90 are, change 0)."""
    value = np.where(np.arange(1000) < 100, 36.0 + np.arange(1000) / 1000, 37.0)
    retaken = np.arange(1000) < 50
    retaken |= (np.arange(1000) >= 100) & (np.arange(1000) < 190)
    change = np.where(np.arange(1000) < 50, 1.0, 0.0)
    given = Firsts(value, retaken, change, NONE, np.arange(1000), NONE, NONE, NONE, NONE, 37.0)
    chance = np.where(value < 37, 0.5, 0.1)
    terms = np.where(retaken, change / chance, 0.0)
    source = Standardised(given, chance, np.ones((1000, 1)), terms)
    return Direction(source, 1, source.mean, source.pull, 37.0, None)


def test_by_hand():
    """Triggered 50 (1 - 0.1 / 0.5) = 40; a quarter missing means 40 / 3 more, each changing by 1 °C."""
    got = moved(order(), 0.25)
    missing = 40 * 0.25 / 0.75
    assert got.offset == pytest.approx((1000 * 0.1 + missing * 1.0) / (1000 + missing))


def test_none_missing_is_the_answer_itself():
    same = order()
    assert moved(same, 0.0).offset == same.offset
    assert moved(same, 0.0).pull == pytest.approx(same.pull)


def test_the_table_runs_from_none_to_two_fifths_and_moves_one_way():
    got = pair_estimate(Problem.from_readings(retakes(TRUTHS["Gaussian"], 2, 800), reference_site="oral"), 1)
    assert [row.share for row in got.sensitivity] == [0.0, 0.1, 0.2, 0.3, 0.4]
    assert got.sensitivity[0].offset_c == pytest.approx(got.offset_c)
    assert got.sensitivity[0].low_c == pytest.approx(got.low_c)
    assert (np.diff([row.offset_c for row in got.sensitivity]) < 0).all()
    assert all(row.low_c < row.offset_c < row.high_c for row in got.sensitivity)


@pytest.mark.parametrize("name", ["uncharted first readings", "farthest uncharted"])
def test_with_the_right_share_it_comes_nearer_the_truth(name):
    """40 % are missing: over four draws the row of 40 % is nearer -0.25 °C than the charted answer is."""
    found = [
        pair_estimate(Problem.from_readings(retakes(TRUTHS[name], seed, 1500), reference_site="oral"), 1)
        for seed in range(4)
    ]
    told = [pairs for pairs in found if pairs.offset_c is not None]
    true = TRUTHS[name].temporal_c
    charted = abs(np.mean([pairs.offset_c for pairs in told]) - true)
    right = abs(np.mean([pairs.sensitivity[-1].offset_c for pairs in told]) - true)
    assert len(told) >= 3
    assert right < charted
