"""The sums, the criterion and its derivatives against a slow dense twin."""

from functools import reduce
from operator import add

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from browline.variation.design import Design, design, independent_columns
from browline.variation.fit import Surface
from browline.variation.residuals import residuals
from browline.variation.sums import blocks, directions, sums


def small(seed: int = 1, n: int = 90, depth: int = 2) -> Design:
    rng = np.random.default_rng(seed)
    stay = rng.integers(0, 15, n)
    nest = {"stay": stay, "episode": stay * 4 + rng.integers(0, 4, n)}
    factors = {"instrument": rng.integers(-1, 5, n), "ward": rng.integers(0, 3, n)}
    x = np.column_stack([np.ones(n), rng.normal(size=n)])
    return design(rng.normal(size=n), x, factors, dict(list(nest.items())[:depth]))


def one_hot(codes, levels):
    return (codes[:, None] == np.arange(levels)).astype(float)


def covariances(d: Design):
    """The slow twin's V_k of every random term, nest first."""
    return [one_hot(f.codes, f.levels) @ one_hot(f.codes, f.levels).T for f in (*d.nest, *d.factors)]


def dense_criterion(d: Design, theta):
    """-2 log REML directly from V, with sigma^2 profiled out."""
    n, p = d.x.shape
    v = np.eye(n) + sum(t * k for t, k in zip(theta, covariances(d), strict=True))
    vi = np.linalg.inv(v)
    xvx = d.x.T @ vi @ d.x
    beta = np.linalg.solve(xvx, d.x.T @ vi @ d.y)
    r = d.y - d.x @ beta
    squares = r @ vi @ r
    logs = np.linalg.slogdet(v)[1] + np.linalg.slogdet(xvx)[1]
    return logs + (n - p) * (1 + np.log(2 * np.pi * squares / (n - p)))


@pytest.mark.parametrize("depth", [0, 1, 2])
@pytest.mark.parametrize("scale", [0.0, 0.3, 4.0])
def test_criterion_equals_the_dense_twin(depth, scale):
    d = small(depth=depth)
    theta = np.linspace(0.2, 1.0, depth + 2) * scale
    assert Surface(d, blocks(d)).at(theta).at.criterion == pytest.approx(dense_criterion(d, theta), abs=1e-9)


@pytest.mark.parametrize("depth", [0, 1, 2])
@pytest.mark.parametrize("zero", [False, True])
def test_gradient_is_the_slope_of_the_dense_twin(depth, zero):
    d = small(depth=depth)
    theta = np.linspace(0.3, 1.1, depth + 2)
    if zero:
        theta[-1] = theta[0] = 0.0
    h = 1e-6
    slope = [
        (
            -3 * dense_criterion(d, theta)
            + 4 * dense_criterion(d, theta + h * e)
            - dense_criterion(d, theta + 2 * h * e)
        )
        / (2 * h)
        for e in np.eye(len(theta))
    ]
    assert Surface(d, blocks(d)).at(theta).gradient == pytest.approx(np.array(slope), rel=1e-5, abs=1e-5)


@pytest.mark.parametrize("depth", [0, 1, 2])
def test_average_information_equals_the_dense_twin(depth):
    d = small(depth=depth)
    theta = np.linspace(0.3, 1.1, depth + 2)
    surface = Surface(d, blocks(d))
    point = surface.at(theta)
    ks = covariances(d)
    vi = np.linalg.inv(np.eye(len(d.y)) + sum(t * k for t, k in zip(theta, ks, strict=True)))
    p = vi - vi @ d.x @ np.linalg.inv(d.x.T @ vi @ d.x) @ d.x.T @ vi
    f = np.column_stack([k @ p @ d.y for k in ks])
    s2, freedom = point.at.sigma**2, len(d.y) - d.x.shape[1]
    along = d.y @ p @ f
    expected = f.T @ p @ f / s2 - np.outer(along, along) / s2**2 / freedom
    assert surface.curvature(point) == pytest.approx(expected, rel=1e-9)


def test_what_is_left_equals_the_dense_twin():
    d = small()
    theta = np.array([0.8, 0.5, 0.4, 0.2])
    at = Surface(d, blocks(d)).at(theta).at
    fitted = type("Fitted", (), {"at": at, "theta": lambda self, k: theta[:k]})()
    v = np.eye(len(d.y)) + theta[0] * covariances(d)[0] + theta[1] * covariances(d)[1]
    left = residuals(d, fitted)
    assert left.left == pytest.approx(np.linalg.solve(v, left.e), abs=1e-10)
    assert left.share == pytest.approx(np.diag(np.linalg.inv(v)), abs=1e-10)


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 60), st.integers(0, 10_000))
def test_any_split_of_the_stays_gives_the_same_sums(readings, seed):
    d, theta = small(seed), np.array([0.9, 0.4])
    whole, parts = sums(blocks(d), theta), sums(blocks(d, readings), theta)
    assert parts.n == whole.n
    assert parts.logdet == pytest.approx(whole.logdet, abs=1e-9)
    assert parts.zc == pytest.approx(whole.zc, abs=1e-9)
    assert parts.cc == pytest.approx(whole.cc, abs=1e-9)
    for a, b in zip(parts.zz, whole.zz, strict=True):
        assert a.toarray() == pytest.approx(b.toarray(), abs=1e-9)


def test_the_merge_does_not_mind_the_order():
    d, theta = small(3), np.array([0.9, 0.4])
    each = [sums([block], theta) for block in blocks(d, 10)]
    forward, backward = reduce(add, each), reduce(add, each[::-1])
    assert len(each) > 5
    assert forward.cc == pytest.approx(backward.cc, abs=1e-10)
    v = np.ones(d.width + 3)
    some = [directions([block], theta, v) for block in blocks(d, 10)]
    assert reduce(add, some).each == pytest.approx(directions(blocks(d), theta, v).each, rel=1e-10)


def test_a_very_long_stay_stays_linear():
    """A covariance matrix of this stay would hold 10^10 numbers, 80 gigabytes."""
    n = 100_000
    rng = np.random.default_rng(2)
    nest = {"stay": np.zeros(n, np.int64), "episode": np.arange(n) // 3}
    d = design(rng.normal(size=n), np.ones((n, 1)), {"instrument": rng.integers(0, 6, n)}, nest)
    assert np.isfinite(Surface(d, blocks(d)).at(np.array([1.0, 0.5, 0.1])).at.criterion)


def test_dependent_columns_are_left_out():
    x = np.random.default_rng(0).normal(size=(50, 3))
    x = np.column_stack([x, x[:, 0] + 2 * x[:, 1], np.zeros(50)])
    assert independent_columns(x).tolist() == [True, True, True, False, False]
