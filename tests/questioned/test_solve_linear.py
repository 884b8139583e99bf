"""`solve` where everything is linear and nothing is discrete, against the Kalman smoother of statsmodels.

State (L, X, Y_oral, Y_rectal, own_oral, own_rectal, o_oral, o_rectal): one level, one lag for each site, no surge,
condition, state or slip. The matrices are written here by hand; the filtering and smoothing are the library's.
"""

from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType

import numpy as np
import pytest
from asked import error_var
from following import cov_sites
from scipy.stats import norm
from statsmodels.tsa.statespace.kalman_smoother import KalmanSmoother

from browline.questioned import Problem, Reading, published, solve
from browline.questioned.priors import Kind, Level, Shift

LAG_MIN = {"oral": 3.0, "rectal": 40.0}
SITES, AT_CORE = tuple(LAG_MIN), 1
LEVEL = Level("usual", 1.0, 37.3, 0.8)
NEVER = Shift("never", 0.0, 0.0, 0.1)
READINGS = (
    Reading(38.1, "oral", 95, "M"),
    Reading(37.4, "rectal", 60, "R"),
    Reading(38.4, "oral", 35, "M"),
    Reading(37.9, "rectal", 10, "R"),
)


def linear():
    """The published priors without anything discrete."""
    p = published()
    course = replace(p.course, levels=(LEVEL,), surge_odds=0.0)
    sites = {
        s: replace(p.sites[s], lags=((LAG_MIN[s], 1.0),), conditions=(), slip=NEVER, slope=0.9) for s in SITES
    }
    kinds = {name: Kind(kind.sd_c, ()) for name, kind in p.kinds.items()}
    return replace(
        p,
        course=course,
        sites=MappingProxyType({**p.sites, **sites}),
        kinds=MappingProxyType(kinds),
        gross=NEVER,
    )


def smoothed(priors):
    """Mean and sd of the core at each reading and now, from the library."""
    minutes = [r.minutes_ago for r in READINGS] + [0.0]
    model = KalmanSmoother(k_endog=1, k_states=8, k_posdef=8)
    model.bind(np.array([r.value_c for r in READINGS] + [np.nan]).reshape(-1, 1))
    a, c = 1 / priors.course.wander_hours, np.array([60 / LAG_MIN[s] for s in SITES])
    always = np.zeros((8, 8))
    rates = np.array([1e12, *c])
    always[1:4, 1:4] = priors.course.wander_sd_c**2 * cov_sites(
        np.zeros((3, 3)), a, rates[:, None], rates[None, :]
    )
    spread = [priors.sites[s].own_sd_c ** 2 for s in SITES]
    spread += [priors.kinds[priors.sites[s].kind].sd_c ** 2 for s in SITES]
    always[0, 0], always[range(4, 8), range(4, 8)] = LEVEL.sd_c**2, spread
    steps = [_step(a, c, (now - later) / 60) for now, later in pairwise(minutes)]
    steps.append(np.eye(8))
    sites = [priors.sites[r.site] for r in READINGS]
    model["transition"] = np.dstack(steps)
    model["selection"] = np.eye(8)
    model["state_cov"] = np.dstack([always - f @ always @ f.T for f in steps])
    model["design"] = np.dstack(
        [*(_design(r, s) for r, s in zip(READINGS, sites, strict=True)), np.zeros((1, 8))]
    )
    model["obs_intercept"] = np.array([[37 + s.offset_c - 37 * s.slope for s in sites] + [0.0]])
    model["obs_cov"] = np.array([error_var(s) for s in sites] + [1.0]).reshape(1, 1, -1)
    model.initialize_known(np.array([LEVEL.mean_c] + 7 * [0.0]), always)
    out = model.smooth()
    core = np.array([1, AT_CORE, 0, 0, 0, 0, 0, 0.0])
    sd = np.sqrt(np.einsum("i,ijt,j->t", core, out.smoothed_state_cov, core))
    return core @ out.smoothed_state, sd


def _step(a, c, gap):
    f = np.eye(8)
    f[1, 1] = np.exp(-a * gap)
    f[[2, 3], [2, 3]] = np.exp(-c * gap)
    f[[2, 3], 1] = c * (np.exp(-a * gap) - np.exp(-c * gap)) / (c - a)
    return f


def _design(reading, site):
    k = SITES.index(reading.site)
    row = np.zeros((1, 8))
    row[0, [0, 2 + k]] = site.slope
    row[0, [4 + k, 6 + k]] = 1.0
    return row


def test_the_linear_case_is_the_kalman_smoother():
    priors = linear()
    mean, sd = smoothed(priors)
    result = solve(Problem(READINGS, priors=priors))
    assert result.now.mean_c == pytest.approx(mean[-1], abs=1e-6)
    assert result.now.low_c == pytest.approx(mean[-1] - 1.959964 * sd[-1], abs=1e-4)
    assert result.now.fever == pytest.approx(norm.sf(38.0, mean[-1], sd[-1]), abs=1e-6)
    for told, m, s, r in zip(result.misled, mean, sd, READINGS, strict=False):
        assert told.core.mean_c == pytest.approx(m, abs=1e-6)
        assert told.chance == pytest.approx(
            1 - np.diff(norm.cdf([r.value_c - 0.5, r.value_c + 0.5], m, s))[0], abs=1e-6
        )
