"""What the pairs show against themselves: each answer, its words, its stated false alarms, and when it cannot be told.

Oracles: scipy's normal and t distributions; shuffled decisions, where nothing is to be seen.
"""

from dataclasses import replace

import numpy as np
import pytest
from invented_retakes import TRUTHS, retakes

from browline.variation.problem import Problem
from browline.variation.retakes import Answer, Check, PairEstimate, Sign, pair_checks, pair_estimate
from browline.variation.retakes.checks import ALARM, concluded, differ
from browline.variation.retakes.cluster_robust import half_interval, standard_error
from browline.variation.retakes.first_readings import Firsts
from browline.variation.retakes.standardised import standardise
from browline.variation.retakes.unseen import unseen


def pairs(name: str, seed: int, stays: int) -> PairEstimate:
    return pair_estimate(Problem.from_readings(retakes(TRUTHS[name], seed, stays), reference_site="oral"), 1)


def test_the_chance_is_two_sided_and_counts_what_was_tried():
    norm = pytest.importorskip("scipy.stats").norm
    assert Check(Sign.UNSEEN, Answer.SEEN, 9, 0.1, 2.5).chance == pytest.approx(2 * norm.sf(2.5))
    assert Check(Sign.UNSEEN, Answer.SEEN, 9, 0.1, -2.5, 2).chance == pytest.approx(4 * norm.sf(2.5))


@pytest.mark.parametrize(("z", "answer"), [(2.57, "not-seen"), (2.58, "seen"), (-2.58, "seen")])
def test_seen_below_one_in_a_hundred(z, answer):
    assert concluded(Sign.UNSEEN, 9, [(0.1, z)]).answer == answer


def test_two_tries_ask_for_more():
    got = concluded(Sign.UNCHARTED, 9, [(0.1, 2.6), (0.0, 0.3)])
    assert got.answer is Answer.NOT_SEEN
    assert got.statistic == 2.6


def test_sound_readings_are_called_unsound_about_as_often_as_stated():
    """80 sound data sets, two checks each at 1 %: 1.6 expected; 8 or more has a chance under 1 in 3,000."""
    checks = [check for seed in range(80) for check in pairs("Gaussian", seed, 150).checks if check.statistic]
    assert len(checks) > 120
    assert sum(check.answer is Answer.SEEN for check in checks) < 8
    assert np.std([check.statistic for check in checks]) < 1.6
    assert ALARM == 0.01


def test_a_curve_that_cannot_follow_is_no_unseen_reason():
    """What comes next bends where the splines cannot follow; who is read again hangs on the value only."""
    rng = np.random.default_rng(5)
    value = rng.normal(37, 0.5, 40_000)
    retaken = rng.random(40_000) < 1 / (1 + np.exp(1.0 - 3.0 * (value - 37)))
    following = 0.3 * (value - 37) + 0.5 * np.sin(12 * value) + rng.normal(0, 0.1, 40_000)
    none = np.full(40_000, np.nan)
    change = np.where(retaken, 0.2, 0.0)
    given = Firsts(value, retaken, change, none, np.arange(40_000), none, none, following, none, 37.0)
    _, z = unseen(standardise(given))
    assert abs(z) < 3.3
    _, ill = unseen(standardise(replace(given, following=following + 0.02 * retaken)))
    assert ill > 5


def test_too_few_cannot_be_told():
    got = pairs("Gaussian", 0, 12)
    assert got.offset_c is None
    assert {check.answer for check in got.checks} == {Answer.CANNOT_TELL}
    assert all("cannot be told" in check.sentence for check in got.checks)


def test_the_model_beside_the_pairs():
    got = pairs("Gaussian", 1, 400)
    at = got.offset_at_37.offset_c
    near, far = pair_checks(got, at + 0.04)[0], pair_checks(got, at - 0.06)[0]
    assert (near.answer, far.answer) == (Answer.NOT_SEEN, Answer.SEEN)
    assert far.amount_c == pytest.approx(0.06)
    assert "0.06 °C higher than the model" in far.sentence
    assert pair_checks(got, at)[1:] == got.checks
    assert pair_checks(None, 0.1) == ()


def test_a_difference_that_chance_explains_says_so():
    assert "chance alone does this often" in differ(-0.2, 0.2, -0.1, 50).sentence
    assert "once in 10,000" in differ(-0.2, 0.005, -0.1, 50).sentence


@pytest.mark.parametrize("sign", list(Sign))
@pytest.mark.parametrize("answer", list(Answer))
def test_every_answer_is_a_sentence_and_what_is_seen_has_advice(sign, answer):
    check = Check(sign, answer, 50, -0.12, -4.0)
    assert check.sentence[0].isupper() and check.sentence.endswith(".") and "{" not in check.sentence
    assert bool(check.advice) == (answer is not Answer.NOT_SEEN)


def test_standard_error_and_interval_by_hand():
    """Twenty equal stays: se = sqrt(20 / 19 * 20 * 0.01^2), freedom capped at 19."""
    t = pytest.importorskip("scipy.stats").t
    stay, pull = np.arange(20), np.where(np.arange(20) % 2, 0.01, -0.01)
    assert standard_error([(stay, pull)]) == pytest.approx(np.sqrt(20 / 19 * 20) * 0.01)
    assert half_interval([(stay, pull)]) == pytest.approx(t.ppf(0.975, 19) * standard_error([(stay, pull)]))


def test_one_stay_that_carries_the_answer_widens_the_interval():
    """b^2 = 1 once and 0.01 in 99 stays: freedom 2 T^2 / (Q - T^2 / S), T = 1.99, Q = 1.0099."""
    t = pytest.importorskip("scipy.stats").t
    pull = np.where(np.arange(100) == 0, 1.0, 0.1)
    freedom = 2 * 1.99**2 / (1.0099 - 1.99**2 / 100)
    got = half_interval([(np.arange(100), pull)]) / standard_error([(np.arange(100), pull)])
    assert got == pytest.approx(t.ppf(0.975, freedom))
