"""The loops over hypotheses: move them in time, weigh what a reading branches them into, and take a reading in."""

from typing import Any, NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Hypotheses(NamedTuple):
    """K hypotheses with a state of d parts, and m copies of parts of it at earlier moments.

    `x` float64[K, d], `P` float64[K, d, d]: mean and covariance. `kept`, `kept_var` float64[K, m]: mean and variance of
    the copies; `kept_with` float64[K, m, d]: their covariance with x. `condition` int64[K, sites read], -1: not yet
    drawn; `state` int64[K, instruments], -1: not yet used. `lags` int64[K]: which set of lags.
    """

    x: Floats
    P: Floats
    kept: Floats
    kept_var: Floats
    kept_with: Floats
    condition: NDArray[np.int64]
    state: NDArray[np.int64]
    lags: NDArray[np.int64]

    def of(self, chosen: Any) -> "Hypotheses":
        """Some of them, by index; copies."""
        return Hypotheses(*(part[chosen] for part in self))


class Place(NamedTuple):
    """Where in the state stand what the site shows, its own difference, the size of its condition, the instrument's
    offset and the size of its state; then which site and which instrument."""

    shown: int
    own: int
    size: int
    offset: int
    extra: int
    site: int
    instrument: int


class Seen(NamedTuple):
    """A reading: y = 37 + offset + slope (S - 37) + ... with variance `error`.

    `stays`: the chance that the condition of the site is the one that was. `drawn`, `fresh`, `slip`: float64[3, m],
    log chance, mean and variance of the conditions, of the states of an unused instrument, and of the slips.
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
def move(held, F, Q):  # type: ignore[no-untyped-def]
    """Move every hypothesis by its own F and Q (float64[lag sets, q, q]) in its first q parts."""
    q = F.shape[1]
    for h in range(held.x.shape[0]):
        f, p = F[held.lags[h]], held.P[h]
        _follow(held.x[h], f)
        for i in range(p.shape[0]):
            _follow(p[i], f)
        _follow_rows(p, f)
        p[:q, :q] += Q[held.lags[h]]
        for j in range(held.kept_with.shape[1]):
            _follow(held.kept_with[h, j], f)


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
def weigh(held, log_weight, at, seen):  # type: ignore[no-untyped-def]
    """Log weight float64[K, conditions + 1, states, slips] of every branch; the last condition is "as it was"."""
    drawn, fresh, slip, stays, slope = seen.drawn, seen.fresh, seen.slip, seen.stays, seen.slope
    n_c, n_z, n_l = drawn.shape[1], fresh.shape[1], slip.shape[1]
    out = np.full((held.x.shape[0], n_c + 1, n_z, n_l), -np.inf)
    for h in range(held.x.shape[0]):
        p, m = held.P[h], held.x[h]
        was, used = held.condition[h, at.site], held.state[h, at.instrument]
        middle = 37.0 + seen.offset + slope * (m[at.shown] - 37.0) + m[at.own] + m[at.offset]
        spread = (
            slope * slope * p[at.shown, at.shown] + p[at.own, at.own] + p[at.offset, at.offset] + seen.error
            + 2.0 * (slope * (p[at.shown, at.own] + p[at.shown, at.offset]) + p[at.own, at.offset])
        )  # fmt: skip
        with_size = slope * p[at.shown, at.size] + p[at.own, at.size] + p[at.offset, at.size]
        with_extra = slope * p[at.shown, at.extra] + p[at.own, at.extra] + p[at.offset, at.extra]
        for c in range(n_c + 1):
            if c == n_c:
                if was <= 0 or stays <= 0.0:
                    continue
                lw_c, m_c, v_c = np.log(stays), m[at.size], p[at.size, at.size] + 2.0 * with_size
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
                    lw_z, m_z, v_z = 0.0, m[at.extra], p[at.extra, at.extra] + 2.0 * with_extra
                    if c == n_c:
                        v_z += 2.0 * p[at.size, at.extra]
                for k in range(n_l):
                    v = spread + v_c + v_z + slip[2, k]
                    e = seen.y - (middle + m_c + m_z + slip[1, k])
                    density = -0.5 * (np.log(2.0 * np.pi * v) + e * e / v)
                    out[h, c, z, k] = log_weight[h] + lw_c + lw_z + slip[0, k] + density
    return out


@njit(cache=True, nogil=True)
def take(held, branch, at, seen):  # type: ignore[no-untyped-def]
    """Take a reading in, in place, each hypothesis by its own branch, int64[K, 3]: condition, state, slip."""
    slope, n_c, d = seen.slope, seen.drawn.shape[1], held.x.shape[1]
    for h in range(held.x.shape[0]):
        p, m = held.P[h], held.x[h]
        c, z, k = branch[h, 0], branch[h, 1], branch[h, 2]
        if c < n_c:
            _draw(held, h, at.size, seen.drawn[1, c], seen.drawn[2, c])
            held.condition[h, at.site] = c
        if held.state[h, at.instrument] < 0:
            _draw(held, h, at.extra, seen.fresh[1, z], seen.fresh[2, z])
            held.state[h, at.instrument] = z
        gain = slope * p[:, at.shown] + p[:, at.own] + p[:, at.offset] + p[:, at.size] + p[:, at.extra]
        v = _through(gain, at, slope) + seen.error + seen.slip[2, k]
        e = seen.y - (37.0 + seen.offset - slope * 37.0 + _through(m, at, slope) + seen.slip[1, k])
        for j in range(held.kept_with.shape[1]):
            w = held.kept_with[h, j]
            g = _through(w, at, slope)
            held.kept[h, j] += g * e / v
            held.kept_var[h, j] -= g * g / v
            for i in range(d):
                w[i] -= g * gain[i] / v
        for i in range(d):
            m[i] += gain[i] * e / v
            for j in range(d):
                p[i, j] -= gain[i] * gain[j] / v


@njit(cache=True, nogil=True)
def _through(vector, at, slope):  # type: ignore[no-untyped-def]
    """The product of a vector over the state with what a reading sees of it."""
    return slope * vector[at.shown] + vector[at.own] + vector[at.offset] + vector[at.size] + vector[at.extra]


@njit(cache=True, nogil=True)
def _draw(held, h, part, mean, variance):  # type: ignore[no-untyped-def]
    """Draw a part of the state anew: it forgets what it had to do with the others."""
    held.x[h, part] = mean
    held.P[h, part, :] = 0.0
    held.P[h, :, part] = 0.0
    held.P[h, part, part] = variance
    held.kept_with[h, :, part] = 0.0
