"""The level effect: a dense twin, derivatives by differences, and recovery from invented roll-outs."""

import numpy as np
import pytest
from invented_rollouts import Shape, hospital, terms_and_sums

from browline.variation.effects.mixture import Mixture
from browline.variation.effects.schur_complement import schur_complement
from browline.variation.effects.solved import criterion
from browline.variation.training.exposure import (
    compared_months,
    exposure,
    home_wards,
    shares,
    starts,
)
from browline.variation.training.level import level
from browline.variation.training.spreads import (
    _derivatives,
    correlation,
    mode,
    penalty,
    running,
    runs_root,
    sums_and_solution,
)
from browline.variation.training.terms import Term, calendar, places

SMALL = Shape(4, 6, 3)


@pytest.fixture(scope="module")
def small():
    """One small roll-out with its terms and sums."""
    h = hospital(SMALL, 0.1, np.random.default_rng(5))
    return h, *terms_and_sums(h)


def test_trained_is_after_the_persons_own_sign_off_at_sites_the_scan_acts_on():
    person, time = np.array([0, 0, 1, 0, -1]), np.array([4.0, 6.0, 6.0, 6.0, 6.0])
    acted_on = np.array([True, True, True, False, True])
    exposed = exposure(person, time, acted_on, np.array([5.0, np.inf]))
    assert exposed.trained.tolist() == [False, True, False, False, False]
    assert exposed.untold.tolist() == [False, False, False, False, True]


def test_a_wards_start_is_its_first_sign_off_or_an_earlier_session():
    home = home_wards(np.array([0, 1, 1, 2]), np.array([0, 0, 1, 1]), 3, 3)
    assert home.tolist() == [0, 0, 1]
    began = starts(np.array([7.0, 5.0, np.inf]), home, 3, np.array([6.0, 9.0, np.nan]))
    assert began.tolist() == [5.0, 9.0, np.inf]


def test_shares_by_ward_and_month_leave_out_the_unnamed():
    exposed = exposure(np.array([0, 1, -1]), np.full(3, 9.0), np.ones(3, bool), np.array([5.0, np.inf]))
    told = shares(exposed, np.ones(3, bool), np.zeros(3, int), np.array([1, 1, 1]), 1, 2)
    assert np.isnan(told[0, 0]) and told[0, 1] == 0.5


def test_a_month_compares_only_where_enough_of_both_kinds_charted():
    person = np.repeat([0, 1], [60, 60])
    month = np.tile(np.repeat([0, 1, 2], 20), 2)
    exposed = exposure(person, month + 0.5, np.ones(120, bool), np.array([1.0, np.inf]))
    assert compared_months(exposed, np.ones(120, bool), month, 3).tolist() == [False, True, True]
    keep = np.r_[:119]
    fewer = exposure(person[keep], month[keep] + 0.5, np.ones(119, bool), np.array([1.0, np.inf]))
    assert compared_months(fewer, np.ones(119, bool), month[keep], 3).tolist() == [False, True, False]


def test_thin_months_share_a_spline():
    thick, thin = np.repeat(np.arange(12), 50), np.repeat(np.arange(12), 5)
    assert calendar(thick).shape == (600, 11)
    assert calendar(thin).shape == (60, 3)


def test_the_running_terms_covariance_is_autoregressive_within_runs_only():
    """R = rho^|i - j| written out."""
    root = runs_root(Term("m", np.zeros(1, int), 6, 1.0, run=3), 0.7)
    expected = np.kron(np.eye(2), [[1, 0.7, 0.49], [0.7, 1, 0.7], [0.49, 0.7, 1]])
    np.testing.assert_allclose(root @ root.T, expected, atol=1e-12)


def test_theta_and_criterion_equal_generalised_least_squares_written_out(small):
    """Dense twin: V = sum sd^2 Z R Z' + D, theta by (X'V^-1X)^-1 X'V^-1y, REML with log|V| and log|X'V^-1X|."""
    h, terms, sums = small
    t = np.append(np.log([0.1, 0.08, 0.09, 0.06, 0.05, 0.03]), 0.3)
    turned, at = sums_and_solution(sums, terms, t)
    x, v = _dense(h, terms, t)
    inverse = np.linalg.inv(v)
    xx = x.T @ inverse @ x
    beta = np.linalg.solve(xx, x.T @ inverse @ h.y)
    e = h.y - x @ beta
    reml = (
        np.linalg.slogdet(v)[1]
        + np.linalg.slogdet(xx)[1]
        + e @ inverse @ e
        + (len(e) - len(beta)) * np.log(2 * np.pi)
    )
    np.testing.assert_allclose(at.beta, beta, atol=1e-9)
    assert at.criterion == pytest.approx(reml, abs=1e-6)
    assert at.covariance[-1, -1] == pytest.approx(np.linalg.inv(xx)[-1, -1], rel=1e-8)
    assert criterion(turned, at.sd) == pytest.approx(reml, abs=1e-6)


def test_slope_and_information_against_differences_and_the_dense_traces(small):
    """Slope by central differences of -2 log posterior; information tr(P dV_i P dV_j) from the dense V."""
    h, terms, sums = small
    t = np.append(np.log([0.1, 0.08, 0.09, 0.06, 0.05, 0.03]), 0.3)

    def value(t):
        return sums_and_solution(sums, terms, t)[1].criterion + penalty(terms, t)

    slope, information = _derivatives(terms, t, sums_and_solution(sums, terms, t)[1])
    steps = 1e-4 * np.eye(len(t))
    np.testing.assert_allclose(
        slope, [(value(t + s) - value(t - s)) / 2e-4 for s in steps], rtol=1e-4, atol=1e-4
    )
    x, v = _dense(h, terms, t)
    inverse = np.linalg.inv(v)
    p = inverse - inverse @ x @ np.linalg.solve(x.T @ inverse @ x, x.T @ inverse)
    moved = [p @ (_dense(h, terms, t + s)[1] - _dense(h, terms, t - s)[1]) / 2e-4 for s in steps]
    expected = np.array([[np.trace(a @ b) for b in moved] for a in moved])
    k, scale = len(terms), np.array([term.scale_c for term in terms])
    expected[np.arange(k), np.arange(k)] += 4 * np.exp(2 * t[:k]) / scale**2
    half = 1 / (1 + np.exp(-t[-1]))
    expected[-1, -1] += 4 * half * (1 - half)
    np.testing.assert_allclose(information, expected, rtol=5e-3, atol=1e-3)


def test_eliminating_effects_leaves_the_same_answer(small):
    _, terms, sums = small
    sd = np.repeat([0.1, 0.08, 0.09, 0.06, 0.05, 0.03], [t.levels for t in terms])
    gone = np.zeros(len(sd), bool)
    gone[places(terms)[1]] = gone[places(terms)[4]] = True
    left = schur_complement(sums, gone, sd)
    assert criterion(left, sd[~gone]) == pytest.approx(criterion(sums, sd), abs=1e-7)


def test_the_mode_is_a_mode(small):
    _, terms, sums = small
    found = mode(sums, terms)
    value = found.solution.criterion + penalty(terms, found.t)
    for step in (*0.2 * np.eye(len(found.t)), *-0.2 * np.eye(len(found.t))):
        assert (
            sums_and_solution(sums, terms, found.t + step)[1].criterion + penalty(terms, found.t + step)
            > value
        )


def test_integrating_over_the_spreads_widens_the_answer_at_the_mode_and_hardly_moves_it(small):
    _, terms, sums = small
    found = level(sums, terms, -1)
    at = found.mode.solution
    assert found.effect_c == pytest.approx(at.beta[-1], abs=0.2 * found.sd_c)
    assert 0.9 < found.sd_c / at.covariance[-1, -1] ** 0.5 < 1.5
    assert found.low_c < found.effect_c < found.high_c


def test_mixture_quantiles_against_a_large_sample():
    rng = np.random.default_rng(3)
    weight, mean, sd = np.array([0.3, 0.7]), np.array([-1.0, 0.5]), np.array([0.5, 2.0])
    which = rng.choice(2, 400_000, p=weight)
    drawn = rng.normal(mean[which], sd[which])
    for p in (0.025, 0.5, 0.975):
        found = float(Mixture(weight, mean[:, None], sd[:, None]).quantile(p)[0])
        assert found == pytest.approx(np.quantile(drawn, p), abs=0.02)


@pytest.mark.parametrize("wards, months", [(4, 6), (8, 9)])
def test_the_interval_covers_and_the_effect_is_recovered(wards, months):
    """40 invented hospitals a shape: at most 6 of 40 miss (2 expected; P(7 or more) = 0.3 %)."""
    rng, missed, off = np.random.default_rng(wards), 0, []
    for _ in range(40):
        h = hospital(Shape(wards, months, 4), 0.1, rng)
        terms, sums = terms_and_sums(h)
        found = level(sums, terms, -1)
        missed += not found.low_c <= 0.1 <= found.high_c
        off.append((found.effect_c - 0.1) / found.sd_c)
    assert missed <= 6
    assert abs(np.mean(off)) < 0.6 and 0.5 < np.std(off) < 1.5


def test_people_signed_off_first_who_read_low_do_not_look_worsened():
    """Keen people read low from the start; without the person's share the effect would be -0.13 (0.015) °C."""
    shape = Shape(6, 8, 8, readings=6, reading=1.2, selection=5.0, person=0.4, never=0.0, uptake=6.0)
    rng, found = np.random.default_rng(9), []
    for _ in range(30):
        terms, sums = terms_and_sums(hospital(shape, 0.0, rng))
        found.append(level(sums, terms, -1).effect_c)
    assert abs(np.mean(found)) < 0.06


def _dense(h, terms, t):
    """X and V of all cells, written out."""
    from browline.variation.training.terms import fixed_columns

    v = np.diag(h.shape.reading**2 / h.n)
    for k, term in enumerate(terms):
        z = np.zeros((len(h.y), term.levels))
        has = np.flatnonzero(term.codes >= 0)
        z[has, term.codes[has]] = 1.0
        if k == running(terms):
            z = z @ runs_root(term, correlation(t[-1]))
        v += np.exp(2 * t[k]) * z @ z.T
    return fixed_columns(h.charted, h.exposed, h.acted_on), v
