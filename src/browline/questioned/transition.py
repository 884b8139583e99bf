"""How core and sites move between two moments, given lags: x(t+h) = F x(t) + noise of covariance Q.

State of this part: level L, core C, rate of a surge V, and what each site shows, S_1 .. S_p.

    dC = -(C - L)/w dt + V dt + sqrt(2 s²/w) dB,   dV = -V/g dt,   dS = (C - S)/lag dt

The wandering is stationary, so its covariance Sigma is the same before and after a step: Q = Sigma - F Sigma F'.
"""

import numpy as np
from numpy.typing import NDArray

from browline.questioned.priors import Course

Floats = NDArray[np.float64]
LEVEL, CORE, RATE, SITE0 = 0, 1, 2, 3


def drift(course: Course, lags: tuple[float, ...]) -> Floats:
    """The matrix A of dx = A x dt + noise; lags in hours."""
    size = SITE0 + len(lags)
    a = np.zeros((size, size))
    a[CORE, [LEVEL, CORE, RATE]] = 1.0 / course.wander_hours, -1.0 / course.wander_hours, 1.0
    a[RATE, RATE] = -1.0 / course.surge_hours
    for k, lag in enumerate(lags):
        a[SITE0 + k, [CORE, SITE0 + k]] = 1.0 / lag, -1.0 / lag
    return a


def steps(course: Course, lags: tuple[float, ...], hours: Floats) -> tuple[Floats, Floats]:
    """F and Q for each step: float64[m, q, q] both, from `hours` float64[m] (0 or more)."""
    from scipy.linalg import expm

    forward = expm(drift(course, lags)[None] * hours[:, None, None])
    sigma = wandering(course, lags)
    return forward, sigma - forward @ sigma @ np.swapaxes(forward, 1, 2)


def wandering(course: Course, lags: tuple[float, ...]) -> Floats:
    """Sigma, the stationary covariance float64[q, q] of the wandering W and what the sites show of it.

        var W = s²,   c_a = cov(W, S_a) = s² w / (w + a),   cov(S_a, S_b) = (a c_a + b c_b) / (a + b)

    for lags a and b: both follow from setting the derivative of the covariance to zero.
    """
    lag, s2, w = np.array(lags), course.wander_sd_c**2, course.wander_hours
    with_core = s2 * w / (w + lag)
    weighted = lag * with_core
    cov = np.zeros((SITE0 + len(lags),) * 2)
    cov[CORE, CORE] = s2
    cov[CORE, SITE0:] = cov[SITE0:, CORE] = with_core
    cov[SITE0:, SITE0:] = (weighted[:, None] + weighted[None, :]) / (lag[:, None] + lag[None, :])
    return cov


def beginning(course: Course, lags: tuple[float, ...], mean_c: float, sd_c: float) -> tuple[Floats, Floats]:
    """Mean float64[q] and covariance float64[q, q] before any surge, at a level N(mean_c, sd_c²)."""
    cov = wandering(course, lags)
    mean = np.full(len(cov), mean_c)
    mean[RATE] = 0.0
    level = np.full_like(cov, sd_c**2)
    level[RATE, :] = level[:, RATE] = 0.0
    return mean, cov + level
