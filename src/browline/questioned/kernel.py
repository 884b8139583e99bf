"""The loops over hypotheses: move them in time, weigh what a reading branches them into, and take a reading in."""

from typing import Any, NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Hypotheses(NamedTuple):
    """K hypotheses with a state of d parts, and m copies of parts of it at earlier moments.

    `x` float64[K, d], `P` float64[K, d, d]: mean and covariance. `copies`, `copy_var` float64[K, m]: mean and variance
    of the copies; `copy_cov` float64[K, m, d]: their covariance with x. `condition` int64[K, sites read], -1: not yet
    drawn; `state` int64[K, instruments], -1: not yet used. `lags` int64[K]: which set of lags.
    """

    x: Floats
    P: Floats
    copies: Floats
    copy_var: Floats
    copy_cov: Floats
    condition: NDArray[np.int64]
    state: NDArray[np.int64]
    lags: NDArray[np.int64]

    def select(self, chosen: Any) -> "Hypotheses":
        """Some of them, by index; copies."""
        return Hypotheses(*(part[chosen] for part in self))


class Place(NamedTuple):
    """Indices into the state: the site's temperature S, its difference, the size of its condition, the instrument's
    offset and the size of its state; then which site and which instrument."""

    temperature: int
    difference: int
    size: int
    offset: int
    extra: int
    site: int
    instrument: int


class Observation(NamedTuple):
    """A reading, °C: y = 37 + offset + slope (S - 37) + ... with variance `error`, °C².

    `stays`: the probability that the condition of the site is the one that was. `drawn`, `fresh`, `slip`:
    float64[3, m], log probability, mean and variance of the conditions, of the states of an unused instrument, and
    of the slips.
    """

    y: float
    offset: float
    slope: float
    error: float
    stays: float
    drawn: Floats
    fresh: Floats
    slip: Floats


@njit(cache=True, nogil=True)
def move(hypotheses, F, Q):  # type: ignore[no-untyped-def]
    """Move every hypothesis by its own F and Q (float64[lag sets, q, q]) in its first q parts."""
    q = F.shape[1]
    for h in range(hypotheses.x.shape[0]):
        f, p = F[hypotheses.lags[h]], hypotheses.P[h]
        _follow(hypotheses.x[h], f)
        for i in range(p.shape[0]):
            _follow(p[i], f)
        _follow_rows(p, f)
        p[:q, :q] += Q[hypotheses.lags[h]]
        for j in range(hypotheses.copy_cov.shape[1]):
            _follow(hypotheses.copy_cov[h, j], f)


@njit(cache=True, nogil=True)
def _follow(v, f):  # type: ignore[no-untyped-def]
    """v <- F v in place: a site looks back on level, core, rate and itself, the core on the first three."""
    for k in range(3, f.shape[0]):
        v[k] = f[k, 0] * v[0] + f[k, 1] * v[1] + f[k, 2] * v[2] + f[k, k] * v[k]
    v[1] = f[1, 0] * v[0] + f[1, 1] * v[1] + f[1, 2] * v[2]
    v[2] = f[2, 2] * v[2]


@njit(cache=True, nogil=True)
def _follow_rows(p, f):  # type: ignore[no-untyped-def]
    """P <- F P in place, row by row in the same order."""
    for k in range(3, f.shape[0]):
        for j in range(p.shape[1]):
            p[k, j] = f[k, 0] * p[0, j] + f[k, 1] * p[1, j] + f[k, 2] * p[2, j] + f[k, k] * p[k, j]
    for j in range(p.shape[1]):
        p[1, j] = f[1, 0] * p[0, j] + f[1, 1] * p[1, j] + f[1, 2] * p[2, j]
        p[2, j] = f[2, 2] * p[2, j]


@njit(cache=True, nogil=True)
def weigh(hypotheses, log_weight, place, observation):  # type: ignore[no-untyped-def]
    """Log weight float64[K, conditions + 1, states, slips] of every branch; the last condition is "as it was"."""
    drawn, fresh, slip = observation.drawn, observation.fresh, observation.slip
    stays, slope = observation.stays, observation.slope
    temp, diff, size, off, extra = place.temperature, place.difference, place.size, place.offset, place.extra
    n_c, n_z, n_l = drawn.shape[1], fresh.shape[1], slip.shape[1]
    log_weights = np.full((hypotheses.x.shape[0], n_c + 1, n_z, n_l), -np.inf)
    for h in range(hypotheses.x.shape[0]):
        p, m = hypotheses.P[h], hypotheses.x[h]
        was, used = hypotheses.condition[h, place.site], hypotheses.state[h, place.instrument]
        mean = 37.0 + observation.offset + slope * (m[temp] - 37.0) + m[diff] + m[off]
        variance = (
            slope * slope * p[temp, temp] + p[diff, diff] + p[off, off] + observation.error
            + 2.0 * (slope * (p[temp, diff] + p[temp, off]) + p[diff, off])
        )  # fmt: skip
        with_size = slope * p[temp, size] + p[diff, size] + p[off, size]
        with_extra = slope * p[temp, extra] + p[diff, extra] + p[off, extra]
        for c in range(n_c + 1):
            if c == n_c:
                if was <= 0 or stays <= 0.0:
                    continue
                lw_c, m_c, v_c = np.log(stays), m[size], p[size, size] + 2.0 * with_size
            else:
                lw_c, m_c, v_c = drawn[0, c], drawn[1, c], drawn[2, c]
                if was == 0 and c == 0:
                    lw_c = np.log(stays + (1.0 - stays) * np.exp(lw_c))
                elif was >= 0:
                    if stays >= 1.0:
                        continue
                    lw_c += np.log(1.0 - stays)
            for z in range(n_z):
                lw_z, m_z, v_z = fresh[0, z], fresh[1, z], fresh[2, z]
                if used >= 0:
                    if z != used:
                        continue
                    lw_z, m_z, v_z = 0.0, m[extra], p[extra, extra] + 2.0 * with_extra
                    if c == n_c:
                        v_z += 2.0 * p[size, extra]
                for k in range(n_l):
                    v = variance + v_c + v_z + slip[2, k]
                    e = observation.y - (mean + m_c + m_z + slip[1, k])
                    density = -0.5 * (np.log(2.0 * np.pi * v) + e * e / v)
                    log_weights[h, c, z, k] = log_weight[h] + lw_c + lw_z + slip[0, k] + density
    return log_weights


@njit(cache=True, nogil=True)
def take(hypotheses, branch, place, observation):  # type: ignore[no-untyped-def]
    """Take a reading in, in place, each hypothesis by its own branch, int64[K, 3]: condition, state, slip."""
    slope, n_c, d = observation.slope, observation.drawn.shape[1], hypotheses.x.shape[1]
    temp, diff, size, off, extra = place.temperature, place.difference, place.size, place.offset, place.extra
    for h in range(hypotheses.x.shape[0]):
        p, m = hypotheses.P[h], hypotheses.x[h]
        c, z, k = branch[h, 0], branch[h, 1], branch[h, 2]
        if c < n_c:
            _draw(hypotheses, h, size, observation.drawn[1, c], observation.drawn[2, c])
            hypotheses.condition[h, place.site] = c
        if hypotheses.state[h, place.instrument] < 0:
            _draw(hypotheses, h, extra, observation.fresh[1, z], observation.fresh[2, z])
            hypotheses.state[h, place.instrument] = z
        gain = slope * p[:, temp] + p[:, diff] + p[:, off] + p[:, size] + p[:, extra]
        v = _through(gain, place, slope) + observation.error + observation.slip[2, k]
        e = observation.y - (
            37.0 + observation.offset - slope * 37.0 + _through(m, place, slope) + observation.slip[1, k]
        )
        for j in range(hypotheses.copy_cov.shape[1]):
            w = hypotheses.copy_cov[h, j]
            g = _through(w, place, slope)
            hypotheses.copies[h, j] += g * e / v
            hypotheses.copy_var[h, j] -= g * g / v
            for i in range(d):
                w[i] -= g * gain[i] / v
        for i in range(d):
            m[i] += gain[i] * e / v
            for j in range(d):
                p[i, j] -= gain[i] * gain[j] / v


@njit(cache=True, nogil=True)
def _through(vector, place, slope):  # type: ignore[no-untyped-def]
    """The product of a vector over the state with what a reading sees of it."""
    temp, diff, size, off, extra = place.temperature, place.difference, place.size, place.offset, place.extra
    return slope * vector[temp] + vector[diff] + vector[off] + vector[size] + vector[extra]


@njit(cache=True, nogil=True)
def _draw(hypotheses, h, part, mean, variance):  # type: ignore[no-untyped-def]
    """Draw a part of the state anew: it forgets what it had to do with the others."""
    hypotheses.x[h, part] = mean
    hypotheses.P[h, part, :] = 0.0
    hypotheses.P[h, :, part] = 0.0
    hypotheses.P[h, part, part] = variance
    hypotheses.copy_cov[h, :, part] = 0.0
