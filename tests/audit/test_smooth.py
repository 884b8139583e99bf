"""The honest expectation against independent code: a general optimiser, numerical derivatives, refits."""

import numpy as np
import pytest

from browline.audit.expected_density import Histograms, Shape, fit, fit_with_penalty, start
from browline.audit.recording_grid import CELSIUS, FAHRENHEIT, converted_weight


def _counts(rng, grid, n, converted=0.0):
    true = 36.9 + 0.45 * rng.standard_normal(n)
    shown = true * 1.8 + 32 if grid.fahrenheit else true
    through = true if grid.fahrenheit else true * 1.8 + 32
    through = np.round(through, 1)
    through = through * 1.8 + 32 if grid.fahrenheit else (through - 32) / 1.8
    value = np.round(np.where(rng.random(n) < converted, through, shown), 1)
    place = grid.places(value)
    return np.bincount(place[place >= 0], minlength=grid.size).astype(float)[None]


def _problem(counts, grid, excluded=()):
    out = np.zeros(counts.shape, bool)
    out[:, list(excluded)] = True
    shape = Shape.over(grid.celsius, 0.5)
    return Histograms(counts, shape, np.ones((1, grid.size)), converted_weight(grid)[None], out)


def test_the_fit_is_the_maximum_of_its_penalised_likelihood():
    """Oracle: the criterion written out anew, its slope by differences nought, no step away lower."""
    problem = _problem(_counts(np.random.default_rng(1), CELSIUS, 800, 0.4), CELSIUS, excluded=[20])

    def loss(theta, penalty):
        mu = np.exp(problem.shape.basis @ theta[:-1]) * (1 + theta[-1] * (problem.converted[0] - 1))
        fitted = (mu - problem.counts[0] * np.log(mu))[~problem.excluded[0]].sum()
        rough = penalty * theta[:-1] @ problem.shape.penalty @ theta[:-1] + 1e-8 * theta[:-1] @ theta[:-1]
        return fitted + 0.5 * rough + 0.5 * (theta[-1] - 0.5) ** 2 / 0.25

    rng = np.random.default_rng(6)
    for penalty in (0.1, 10.0, 1000.0):
        smooth, theta = fit_with_penalty(problem, penalty, start(problem))
        steps = 1e-4 * np.eye(len(theta[0]))
        slope = [(loss(theta[0] + s, penalty) - loss(theta[0] - s, penalty)) / 2e-4 for s in steps]
        assert np.abs(slope).max() < 2e-3
        lowest = loss(theta[0], penalty)
        assert all(
            loss(theta[0] + 0.01 * rng.standard_normal(len(theta[0])), penalty) > lowest for _ in range(50)
        )
        assert smooth.mixed[0] == theta[0, -1]


def test_the_share_converted_is_found_on_both_charts():
    rng = np.random.default_rng(2)
    for grid in (CELSIUS, FAHRENHEIT):
        for share in (0.0, 0.5, 1.0):
            smooth = fit(_problem(_counts(rng, grid, 20_000, share), grid))
            assert smooth.mixed[0] == pytest.approx(share, abs=0.12 if grid is CELSIUS else 0.02)


def test_a_share_at_its_end_is_settled_there():
    """Oracle: with nothing converted the same curve as where nothing can be."""
    counts = _counts(np.random.default_rng(7), FAHRENHEIT, 5000)
    problem = _problem(counts, FAHRENHEIT)
    smooth, theta = fit_with_penalty(problem, 10.0, start(problem))
    assert theta[0, -1] < 0.02
    plain = Histograms(counts, problem.shape, problem.direct, problem.direct, problem.excluded)
    known = fit_with_penalty(plain, 10.0, start(plain))[0]
    held = theta[0].copy()
    np.testing.assert_allclose(smooth.expected[0], known.expected[0], rtol=0.02, atol=0.5)
    again = fit_with_penalty(problem, 10.0, held[None])[1]
    np.testing.assert_allclose(again[0], held, atol=1e-4)


def test_histograms_fitted_a_few_at_a_time_are_fitted_as_one_by_one(monkeypatch):
    counts = np.concatenate([_counts(np.random.default_rng(k), CELSIUS, 300) for k in range(7)])
    problem = _problem(counts, CELSIUS, excluded=[20])
    whole = fit(problem)
    monkeypatch.setattr("browline.audit.expected_density.BATCH", 3)
    parts = fit(problem)
    for name in ("expected", "mixed", "log_variance", "covariance", "score"):
        scale = np.abs(getattr(whole, name)).max()
        np.testing.assert_allclose(getattr(parts, name), getattr(whole, name), rtol=1e-3, atol=1e-6 * scale)
    assert parts.problem is problem


def test_a_value_left_out_is_foretold_by_its_neighbours():
    """Known answer: 11 % more at one number leaves its own expectation where it was."""
    counts = _counts(np.random.default_rng(3), CELSIUS, 5000)
    honest = fit(_problem(counts, CELSIUS, excluded=[25])).expected[0, 25]
    heaped = counts.copy()
    heaped[0, 25] += 550
    assert fit(_problem(heaped, CELSIUS, excluded=[25])).expected[0, 25] == pytest.approx(honest, rel=1e-3)
    assert abs(honest - counts[0, 25]) < 4 * np.sqrt(counts[0, 25])


def _unconverted(counts, left_out):
    """A chart on which nothing can be converted: the share converted has an end, where slopes do not hold."""
    problem = _problem(counts, CELSIUS, left_out)
    return Histograms(counts, problem.shape, problem.direct, problem.direct, problem.excluded)


def test_influence_is_how_the_expectation_moves_when_a_count_does():
    """Oracle: refit at the same penalty with a few readings more."""
    counts = _counts(np.random.default_rng(4), CELSIUS, 20_000)

    def expected(counts):
        problem = _unconverted(counts, [25])
        return fit_with_penalty(problem, 10.0, start(problem))[0]

    smooth, at = expected(counts), np.eye(CELSIUS.size)[25]
    pull = smooth.influence(0, at)
    assert pull[25] == 0.0
    for k in (22, 27, 30):
        more = counts + 10.0 * np.eye(CELSIUS.size)[k]
        moved = expected(more).expected[0, 25] - smooth.expected[0, 25]
        assert moved / 10 == pytest.approx(pull[k], abs=2e-3)


def test_the_variance_is_that_of_the_coefficients_carried_through_their_slopes():
    """Oracle: slopes of the log expectation by differences, for a chart with conversion."""
    rng = np.random.default_rng(8)
    counts = np.concatenate([_counts(rng, FAHRENHEIT, 900, share) for share in (0.3, 0.6)])
    problem = _problem(counts, FAHRENHEIT, excluded=[50])
    smooth, theta = fit_with_penalty(problem, 10.0, start(problem))

    def log_expected(moved):
        weight = 1 + moved[-1] * (problem.converted[0] - 1)
        return problem.shape.basis @ moved[:-1] + np.log(weight)

    for g in range(2):
        steps = 1e-5 * np.eye(len(theta[g]))
        x = np.array([(log_expected(theta[g] + s) - log_expected(theta[g] - s)) / 2e-5 for s in steps]).T
        by_hand = np.einsum("kp,pq,kq->k", x, smooth.covariance[g], x)
        np.testing.assert_allclose(smooth.log_variance[g], by_hand, rtol=1e-5)
        mu = smooth.expected[g]
        weights = np.repeat([0.0, 1.0, 0.0], [40, 20, len(mu) - 60])
        lean = x.T @ (weights * mu)
        assert smooth.fit_variance(g, weights) == pytest.approx(lean @ smooth.covariance[g] @ lean, rel=1e-5)


def test_the_stated_variance_covers_what_repeated_histograms_show():
    """Recovery from simulation: 300 histograms from one law, the expectation of a left-out value."""
    rng = np.random.default_rng(5)
    counts = np.concatenate([_counts(rng, CELSIUS, 1500) for _ in range(300)])
    smooth = fit(_unconverted(counts, [29]))
    log = np.log(smooth.expected[:, 29])
    stated = np.sqrt(smooth.log_variance[:, 29].mean()) / log.std()
    assert 0.95 <= stated <= 1.6  # a normal law is the easiest there is; the statement holds for others too
    assert log.mean() == pytest.approx(np.log(counts[:, 29].mean()), abs=0.02)
