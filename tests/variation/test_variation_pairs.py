"""Selected retakes: the doubly robust pair estimate and the model against a known truth; the naive figure is biased.

Oracle kind: recovery from simulation (seed 11; 3,000 stays of 8 first readings, patient sd 0.4, course 0.2,
error 0.25 °C; retake chance 4 % plus 70 % below 36.4 °C), and statsmodels for the logistic regression.
"""

import numpy as np
import pytest
from invented_readings import START

from browline.readings import Readings
from browline.variation import Problem, solve
from browline.variation.retakes import pair_estimate
from browline.variation.retakes.cluster_robust import standard_error
from browline.variation.retakes.direction import direction
from browline.variation.retakes.first_readings import Firsts, firsts
from browline.variation.retakes.logistic import logistic
from browline.variation.retakes.splines import NaturalSpline
from browline.variation.retakes.standardised import standardise

TRUE_OFFSET = 0.20


def selected_retakes(seed: int = 11, stays: int = 3000, per_stay: int = 8) -> Readings:
    """First readings at the forehead; what looks low is often retaken by mouth five minutes later."""
    rng = np.random.default_rng(seed)
    n = stays * per_stay
    stay = np.repeat(np.arange(stays), per_stay)
    time = START + np.tile(np.arange(per_stay) * 6.0, stays) + rng.uniform(0, 1, n)
    state = 37 + rng.normal(0, 0.4, stays)[stay] + rng.normal(0, 0.2, n)
    first = np.round(state + rng.normal(0, 0.25, n), 1)
    retaken = rng.random(n) < 0.04 + 0.70 * (first < 36.4)
    second = np.round(state + TRUE_OFFSET + rng.normal(0, 0.25, n), 1)[retaken]
    value = np.concatenate([first, second])
    none = np.full(len(value), -1, np.int32)
    both = np.concatenate([stay, stay[retaken]]).astype(np.int32)
    when = np.concatenate([time, time[retaken] + 5 / 60])
    site = np.concatenate([np.zeros(n), np.ones(retaken.sum())]).astype(np.int32)
    codes = {"patient": both, "stay": both, "site": site, "instrument": none, "person": none, "ward": none}
    names = {
        "patient": tuple(map(str, range(stays))),
        "stay": tuple(map(str, range(stays))),
        "site": ("temporal", "oral"),
    }
    names |= {"instrument": (), "person": (), "ward": ()}
    return Readings(when, when % 24, value, codes, names)


def without_past(value, retaken, change) -> Firsts:
    """One first reading a stay: nothing came before it and nothing after."""
    none = np.full(len(value), np.nan)
    return Firsts(
        value, retaken, change, none, np.arange(len(value)), none, none, none, none, float(value.mean())
    )


@pytest.fixture(scope="module")
def problem() -> Problem:
    return Problem.from_readings(selected_retakes())


def test_the_naive_pair_difference_is_biased(problem):
    given = firsts(problem, 0, 1)
    naive = given.change[given.retaken].mean()
    assert abs(naive - TRUE_OFFSET) > 0.10


def test_the_doubly_robust_estimate_is_right(problem):
    got = pair_estimate(problem, 1)
    assert got.offset_c == pytest.approx(TRUE_OFFSET, abs=0.02)
    assert got.low_c < TRUE_OFFSET < got.high_c


def test_the_model_is_right(problem):
    oral = solve(problem).sites[1]
    assert oral.site == "oral"
    assert oral.offset_c == pytest.approx(TRUE_OFFSET, abs=0.02)
    assert not oral.disagrees


def test_right_also_where_the_outcome_curve_is_wrong_but_the_chance_is_known_well(problem):
    """With a change that bends where the spline cannot follow, the weights carry the estimate."""
    rng = np.random.default_rng(4)
    n = 40_000
    value = rng.normal(37, 0.5, n)
    bent = 0.1 + 0.5 * np.sin(6 * value)
    retaken = rng.random(n) < 1 / (1 + np.exp(2.0 + 1.0 * (value - 37)))
    change = np.where(retaken, bent + rng.normal(0, 0.3, n), 0.0)
    got = direction(standardise(without_past(value, retaken, change)), 1)
    assert got.offset == pytest.approx(bent.mean(), abs=0.02)
    assert standard_error([got.of_stays(got.pull)]) < 0.02


def test_standard_error_holds_over_repeats():
    """Of 60 repeats the 95 % interval should hold the truth in nearly all: at least 52 (chance under 1 in 100)."""
    every = (pair_estimate(Problem.from_readings(selected_retakes(seed, stays=400)), 1) for seed in range(60))
    told = [got for got in every if got.offset_c is not None]
    assert len(told) >= 57
    assert sum(got.low_c < TRUE_OFFSET < got.high_c for got in told) >= 52


def test_few_pairs_are_too_few_to_tell():
    got = pair_estimate(Problem.from_readings(selected_retakes(stays=20)), 1)
    assert got.offset_c is None
    assert got.sentence == "too few to tell"


def test_where_most_values_are_never_retaken_nothing_can_be_told():
    """Retakes follow the trigger almost without exception, so unremarkable readings have no one to speak for them."""
    rng = np.random.default_rng(2)
    value = np.round(rng.normal(37, 0.5, 20_000), 1)
    retaken = rng.random(20_000) < np.where(value < 36.4, 0.7, 0.0005)
    change = np.where(retaken, 0.2 + rng.normal(0, 0.3, 20_000), 0.0)
    assert standardise(without_past(value, retaken, change)) is None


def test_no_pairs_at_all():
    readings = selected_retakes(stays=50)
    apart = Problem.from_readings(readings.take(readings.codes["site"] == 0))
    assert firsts(apart, 0, 1).pairs == 0
    assert pair_estimate(apart, 1) is None


def test_logistic_regression_agrees_with_statsmodels():
    logit = pytest.importorskip("statsmodels.api").Logit
    rng = np.random.default_rng(1)
    x = np.column_stack([np.ones(400), rng.normal(size=(400, 2))])
    y = (rng.random(400) < 1 / (1 + np.exp(-x @ np.array([-1.0, 0.8, -0.5])))).astype(float)
    assert logistic(x, y) == pytest.approx(logit(y, x).fit(disp=0).predict(), abs=1e-5)


def test_a_perfect_split_does_not_settle():
    x = np.column_stack([np.ones(100), np.arange(100.0) - 49.5])
    got = logistic(x, (x[:, 1] > 0).astype(float), steps=10)
    assert got is None


def test_natural_spline_is_straight_outside_and_takes_in_straight_lines():
    spline = NaturalSpline(np.array([36.0, 36.5, 37.2, 38.0]))
    outside = np.array([38.5, 39.0, 39.5, 40.0])
    assert np.diff(spline.columns(outside), 2, axis=0) == pytest.approx(0.0, abs=1e-9)
    x = np.linspace(35, 39, 50)
    basis = spline.columns(x)
    assert basis.shape == (50, 4)
    assert basis @ np.linalg.lstsq(basis, 3 - 2 * x, rcond=None)[0] == pytest.approx(3 - 2 * x)
