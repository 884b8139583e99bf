"""How core and sites move, against numerical integration of the equations themselves."""

import numpy as np
import pytest
from scipy.integrate import quad_vec, solve_ivp

from browline.questioned.published import COURSE
from browline.questioned.transition import CORE, LEVEL, RATE, SITE0, beginning, drift, steps, wandering

LAGS = (2.0 / 60.0, 0.5, 3.0)
HOURS = np.array([0.0, 0.05, 0.7, 6.0])


def test_the_mean_follows_the_equations():
    """Oracle: an ordinary solver of differential equations (SciPy)."""

    def rate(_, x):
        level, core, v, *shown = x
        more = [(core - s) / lag for s, lag in zip(shown, LAGS, strict=True)]
        return [0.0, (level - core) / COURSE.wander_hours + v, -v / COURSE.surge_hours, *more]

    begin = np.array([37.0, 37.4, 1.8, 37.2, 36.9, 36.5])
    told = solve_ivp(rate, (0.0, 6.0), begin, t_eval=HOURS, rtol=1e-10, atol=1e-12, method="LSODA").y.T
    forward, _ = steps(COURSE, LAGS, HOURS)
    assert forward @ begin == pytest.approx(told, abs=1e-7)


def test_the_noise_is_the_integral_of_what_came_in():
    """Oracle: Q(h) = integral of exp(A u) G exp(A u)' over 0..h, by adaptive quadrature (SciPy)."""
    forward, noise = steps(COURSE, LAGS, HOURS)
    strength = 2.0 * COURSE.wander_sd_c**2 / COURSE.wander_hours

    def inflow(u):
        column = steps(COURSE, LAGS, np.array([u]))[0][0][:, CORE]
        return strength * np.outer(column, column)

    for k, hours in enumerate(HOURS[1:], start=1):
        assert noise[k] == pytest.approx(quad_vec(inflow, 0.0, hours, epsabs=1e-11)[0], abs=1e-8)
    assert abs(noise[0]).max() < 1e-15
    assert forward[0] == pytest.approx(np.eye(len(LAGS) + SITE0))


def test_the_wandering_is_stationary():
    """Oracle: A Sigma + Sigma A' + G = 0, the Lyapunov equation."""
    a, sigma = drift(COURSE, LAGS), wandering(COURSE, LAGS)
    inflow = np.zeros_like(a)
    inflow[CORE, CORE] = 2.0 * COURSE.wander_sd_c**2 / COURSE.wander_hours
    assert a @ sigma + sigma @ a.T + inflow == pytest.approx(np.zeros_like(a), abs=1e-12)


def test_it_begins_at_its_level_with_no_rate():
    mean, cov = beginning(COURSE, LAGS, 38.5, 0.7)
    assert mean[[LEVEL, CORE, SITE0]] == pytest.approx([38.5] * 3) and mean[RATE] == 0.0
    assert cov[LEVEL, LEVEL] == pytest.approx(0.49) and cov[CORE, LEVEL] == pytest.approx(0.49)
    assert not cov[RATE].any()
    assert np.linalg.eigvalsh(cov).min() > -1e-12
