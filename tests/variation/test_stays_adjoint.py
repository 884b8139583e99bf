"""The slopes of -2 log REML and the columns of its second-order step against dense matrices and small steps.

Oracle kind: dense twin (stays_of.py): V of all readings inverted as it stands, slopes by central differences.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stays_of import course_of, covariances, cut, plain, reml, stays, theta_of

from browline.variation.effects.solved import solved
from browline.variation.likelihood import Likelihood
from browline.variation.parameters import parameters
from browline.variation.stays import adjoint as adjoint_module
from browline.variation.stays import passes
from browline.variation.stays.adjoint import adjoint
from browline.variation.stays.course import course

GROUPS, SITES = 2, 3
SDS = np.repeat([0.3, 0.2, 0.05], [5, 4, 5])
SPREADS = {
    "all": {"patient": np.array([0.4, 0.7]), "course": np.array([0.3, 0.5]), "hours": np.array([6.0, 20.0])},
    "squeezed": {"slope": np.array([1.0, 0.75, 1.2]), "reading": np.array([0.1, 0.3, 0.5])},
    "short": {"hours": 0.4},
    "long": {"hours": 900.0},
}
AT_ZERO = {"no course": {"course": 0.0}, "no site": {"patient_site": 0.0}, "no patient": {"patient": 0.0}}


def adjoint_of(made, at):
    found = solved(passes.sums(made, at), SDS)
    return found, adjoint(made, at, found.covariance, found.direction())


def differences(made, at, at_zero=False):
    """Central differences of the dense criterion by every place; one-sided for variances that are 0."""
    theta, slopes = theta_of(at), []
    for k, value in enumerate(theta):
        h = 1e-5 * max(abs(value), 1e-2)
        steps, weights = (
            ((1, -1), (0.5, -0.5)) if value > h or not at_zero else ((0, 1, 2), (-1.5, 2.0, -0.5))
        )
        moved = [np.where(np.arange(len(theta)) == k, theta + s * h, theta) for s in steps]
        heights = [reml(made, course_of(t, GROUPS, SITES), SDS) for t in moved]
        slopes.append(float(np.dot(weights, heights)) / h)
    return np.array(slopes)


def agree(got, want):
    assert got == pytest.approx(want, rel=2e-5, abs=2e-5 * max(np.abs(want).max(), 1.0))


@pytest.mark.parametrize("which", SPREADS)
def test_slopes_are_those_of_the_dense_criterion(which):
    made, at = stays(1), course(GROUPS, SITES, **SPREADS[which])
    found, got = adjoint_of(made, at)
    assert found.criterion == pytest.approx(reml(made, at, SDS), abs=1e-8)
    agree(got.slopes, differences(made, at))


@pytest.mark.parametrize("which", AT_ZERO)
def test_slopes_where_a_spread_is_exactly_zero(which):
    made, at = stays(2), course(GROUPS, SITES, **AT_ZERO[which])
    agree(adjoint_of(made, at)[1].slopes, differences(made, at, at_zero=True))


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10_000), st.integers(12, 40), st.integers(1, 15))
def test_slopes_of_any_shape(seed, n, count):
    made, at = stays(seed, n, count), course(GROUPS, SITES, **SPREADS["squeezed"])
    agree(adjoint_of(made, at)[1].slopes, differences(made, at))


@pytest.mark.parametrize("which", [*SPREADS, *AT_ZERO])
def test_the_columns_of_the_step_equal_the_dense_twin(which):
    """``f_k = dV/dtheta_k r``, ``g_s = dX/dslope_s beta``; `against` = W'[f g], `each` = [f g]'V^-1[f g]."""
    made, at = stays(3), course(GROUPS, SITES, **(SPREADS | AT_ZERO)[which])
    found, got = adjoint_of(made, at)
    b, v = plain(made, at)
    by_v, by_mean = covariances(made, theta_of(at), GROUPS, SITES)
    residual = np.linalg.solve(v, b @ found.direction())
    columns = np.column_stack([*(by_v @ residual), *(by_mean @ found.beta)])
    assert got.cross == pytest.approx(b.T @ np.linalg.solve(v, columns), abs=1e-7)
    each = columns.T @ np.linalg.solve(v, columns)
    assert got.inner == pytest.approx(each, abs=1e-8 * max(1.0, np.abs(each).max()))


def test_the_passes_of_two_halves_add_to_the_whole(monkeypatch):
    made, at = stays(4, 300, 30), course(GROUPS, SITES, **SPREADS["squeezed"])
    _, alone = adjoint_of(made, at)
    monkeypatch.setattr(passes, "runs", cut(2))
    _, two = adjoint_of(made, at)
    for part in ("slopes", "cross", "inner"):
        assert getattr(two, part) == pytest.approx(getattr(alone, part), rel=1e-9, abs=1e-9)


def surface_of(seed=5):
    made = stays(seed, 120, 16)
    moved = parameters(GROUPS, SITES, 3, slopes=np.array([1, 2]))
    return made, moved, Likelihood(made, moved)


def dense_slopes(made, moved, theta):
    """Differences of the dense criterion by the moved numbers, variances of the factors among them."""
    levels = np.repeat(np.arange(3), [5, 4, 5])
    made_ = []
    for k in range(moved.count):
        h = 1e-5 * max(abs(theta[moved.tied == k]).max(), 1e-2)
        heights = []
        for sign in (1, -1):
            at, sds = moved.spreads(theta + sign * h * (moved.tied == k))
            heights.append(reml(made, at, sds[levels]))
        made_.append((heights[0] - heights[1]) / (2 * h))
    return np.array(made_)


def test_the_surface_bends_as_the_dense_criterion_does():
    made, moved, surface = surface_of()
    theta = moved.places(course(GROUPS, SITES, **SPREADS["squeezed"]), np.array([0.3, 0.2, 0.05]))
    slopes, _ = surface.gradient_and_information(surface.evaluate(theta))
    agree(slopes, dense_slopes(made, moved, theta))


def test_the_curvature_is_the_average_information():
    """Oracle: ``y'P V_k P V_l P y`` and ``2 g'Pg`` with P of all readings, factors' V_k = Z_k Z_k'."""
    made, moved, surface = surface_of(6)
    theta = moved.places(course(GROUPS, SITES, **SPREADS["squeezed"]), np.array([0.3, 0.2, 0.05]))
    point = surface.evaluate(theta)
    _, got = surface.gradient_and_information(point)
    at, sds = moved.spreads(theta)
    b, v = plain(made, at)
    q = made.effects
    z, x, y = b[:, :q], b[:, q:-1], b[:, -1]
    v = v + (z * sds[surface.factor_index] ** 2) @ z.T
    vi = np.linalg.inv(v)
    p = vi - vi @ x @ np.linalg.solve(x.T @ vi @ x, x.T @ vi)
    by_v, by_mean = covariances(made, theta, GROUPS, SITES)
    f = [k @ p @ y for k in by_v] + [
        z[:, surface.factor_index == k] @ z[:, surface.factor_index == k].T @ p @ y for k in range(3)
    ]
    f, g = np.column_stack(f), np.column_stack(list(by_mean @ point.solution.beta))
    information = f.T @ p @ f
    first = moved.stay_places - SITES
    information[first : first + SITES, first : first + SITES] += 2 * g.T @ p @ g
    assert got == pytest.approx(moved.folded(information), rel=1e-7, abs=1e-7)


def test_scores_are_the_stays_own_slopes_squared():
    """The sum over stays of the outer product of what each adds to the slopes, stay by stay alone."""
    made, at = stays(3), course(GROUPS, SITES, **SPREADS["all"])
    found, whole = adjoint_of(made, at)
    alone = []
    for start in range(made.stays):
        one = adjoint_module._run(made, at, found.covariance, found.direction(), start, start + 1)
        alone.append(one.slopes)
    agree(whole.slopes, np.sum(alone, axis=0))
    agree(whole.scores, np.array(alone).T @ np.array(alone))
