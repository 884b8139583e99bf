"""The truths of selected retakes: right where the decision hangs on the chart, warned where it does not.

Oracle kind: recovery from simulation (`invented_retakes`, seeds below; 800 stays of ten rounds, about 1,500 pairs).
A larger table is in studies/test_retakes.py.
"""

from statistics import mean

import pytest
from invented_retakes import TRUTHS, Retakes, retakes

from browline.variation.problem import Problem
from browline.variation.retakes import Answer, Sign, pair_estimate

SOUND = ("Gaussian", "t3 errors", "spread differs by patient", "patient x site", "slope 0.75")
SEEDS = range(4)


def drawn(name, seed, stays=800):
    return pair_estimate(Problem.from_readings(retakes(TRUTHS[name], seed, stays), reference_site="oral"), 1)


def seen(pairs):
    return {check.sign for check in pairs.checks if check.answer is Answer.SEEN}


@pytest.mark.parametrize("name", SOUND)
def test_right_on_average_where_the_decision_hangs_on_the_chart(name):
    """Four draws: the mean at 37.0 °C within 0.02 °C and the draws' own spread (about 0.015 °C / 2), no draw warned."""
    pairs = [drawn(name, seed) for seed in SEEDS]
    true = TRUTHS[name].temporal_c
    assert mean(p.offset_at_37.offset_c for p in pairs) == pytest.approx(true, abs=0.03)
    assert sum(p.offset_at_37.low_c < true < p.offset_at_37.high_c for p in pairs) >= 3
    assert sum(bool(seen(p)) for p in pairs) <= 1


def test_the_plain_difference_of_the_same_pairs_is_wrong():
    pairs = drawn("Gaussian", 0)
    assert abs(pairs.naive_c - TRUTHS["Gaussian"].temporal_c) > 0.08


def test_where_a_site_squeezes_fever_the_answer_says_where_it_stands():
    """At the mean of all first readings the offset is -0.25 - 0.25 * 0.10 °C; at 37.0 °C it is -0.25 °C."""
    truth = TRUTHS["slope 0.75"]
    pairs = drawn("slope 0.75", 1, 1500)
    assert pairs.level_c == pytest.approx(37 + truth.mean_c, abs=0.03)
    assert pairs.offset_c == pytest.approx(truth.temporal_c - 0.25 * (pairs.level_c - 37), abs=0.02)
    assert pairs.offset_at_37.slope == pytest.approx(0.75, abs=3 * pairs.offset_at_37.slope_sd)
    assert pairs.offset_at_37.slope + 1.96 * pairs.offset_at_37.slope_sd < 1


def test_a_patients_own_constant_difference_is_not_taken_for_slope():
    """Own differences of 0.4 °C at each site: the reading before alone would give a slope of about 1.16."""
    truth = Retakes(own_site=0.4)
    drawn = [
        pair_estimate(Problem.from_readings(retakes(truth, s, 1500), reference_site="oral"), 1)
        for s in range(3)
    ]
    assert mean(p.offset_at_37.slope for p in drawn) == pytest.approx(1.0, abs=0.1)


def test_the_reference_may_be_the_site_that_is_read_first():
    problem = Problem.from_readings(retakes(TRUTHS["Gaussian"], 0, 800), reference_site="temporal")
    turned = pair_estimate(problem, 1)
    assert turned.offset_c == pytest.approx(-drawn("Gaussian", 0).offset_c, abs=1e-9)
    assert turned.offset_at_37.offset_c == pytest.approx(-TRUTHS["Gaussian"].temporal_c, abs=0.04)


@pytest.mark.parametrize("name", ["uncharted first readings", "farthest uncharted"])
def test_first_readings_left_off_the_chart_are_seen(name):
    assert all(Sign.UNCHARTED in seen(drawn(name, seed, 1500)) for seed in range(2))


def test_a_reason_that_is_not_charted_is_seen():
    assert all(Sign.UNSEEN in seen(drawn("unseen illness", seed, 1500)) for seed in range(2))
