"""One stay whitened in time: a filter of the course, readings in order, cost linear in the readings.

With the course z = course * zeta, zeta a unit Ornstein-Uhlenbeck process, h_i = l_i course and D_i the error
variance, every column b of the stay is turned into innovations

    e_i = b_i - h_i a_i,           F_i = h_i^2 p_i + D_i,        gain_i = p_i h_i / F_i
    a_{i+1} = k_i (a_i + gain_i e_i),   p_{i+1} = k_i^2 p_i (1 - gain_i h_i) + 1 - k_i^2,   k_i = exp(-dt_i / hours)

so that ``e / sqrt F`` are the column whitened by the Markov part M = course + error. What is constant in a stay
(the patient's level, the own difference at each site) is added by a small matrix: with U its columns, S their sds,

    V^-1 = M^-1 - M^-1 U S (I + S U'M^-1 U S)^-1 S U'M^-1

Source: Kalman 1960 (filter), Woodbury 1950 (identity); de Jong 1988, Biometrika 75:594 for smoothing a column
back (from memory). The columns of a stay stand in this order: its effects, the p fixed ones, y, then U.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from browline.variation.arrays import Floats


class Work(NamedTuple):
    """Space for the largest stay of a run: rows m, columns w.

    - `white` float64[m, w]: whitened columns; `state` float64[w]. `gram` float64[w, w].
    - `variance`, `rise`, `gain`, `keep` float64[m]: F, h, gain and k of every reading.
    - `small` float64[u, u]: the factor of I + S U'M^-1 U S; `sd` float64[u]: S.
    """

    white: Floats
    state: Floats
    gram: Floats
    variance: Floats
    rise: Floats
    gain: Floats
    keep: Floats
    small: Floats
    sd: Floats


def work(rows: int, wide: int, constant: int) -> Work:
    """Empty space for stays of at most `rows` readings, `wide` columns, `constant` of them in U."""
    variance, rise, gain, keep = (np.empty(rows) for _ in range(4))
    white, gram, small = np.empty((rows, wide)), np.empty((wide, wide)), np.empty((constant, constant))
    return Work(
        white=white,
        state=np.empty(wide),
        gram=gram,
        variance=variance,
        rise=rise,
        gain=gain,
        keep=keep,
        small=small,
        sd=np.empty(constant),
    )


@njit(cache=True, nogil=True)
def fill_row(c, params, i, effects, row):  # type: ignore[no-untyped-def]
    """Row i of [Z X y U] of its stay, `effects` columns of Z, into b."""
    row[:] = 0.0
    for f in range(c.local.shape[1]):
        k = c.local[i, f]
        if k >= 0:
            row[k] += c.value[i, f] if c.value.shape[1] else 1.0
    slope = params.slope[c.site[i]]
    for j in range(c.x.shape[1]):
        row[effects + j] = c.x[i, j] * slope if c.scaled[j] else c.x[i, j]
    y = effects + c.x.shape[1]
    row[y] = c.y[i]
    row[y + 1] = slope
    row[y + 2 + c.cell[i]] = 1.0


@njit(cache=True, nogil=True)
def whiten(c, params, s, wide, w):  # type: ignore[no-untyped-def]
    """Whiten the `wide` columns of stay s by the Markov part; returns log|M|."""
    first, last = c.first[s], c.first[s + 1]
    effects = c.begins[s + 1] - c.begins[s]
    group = c.group[s]
    course, hours = params.course[group], params.hours[group]
    a = w.state[:wide]
    a[:] = 0.0
    p, log = 1.0, 0.0
    for i in range(first, last):
        r = i - first
        site = c.site[i]
        b = w.white[r, :wide]
        fill_row(c, params, i, effects, b)
        h = params.slope[site] * course
        f = h * h * p + params.reading[site] ** 2 * c.variance_weight[i]
        k = np.exp((c.time[i] - c.time[i + 1]) / hours) if i + 1 < last else 0.0
        gain, scale = p * h / f, 1.0 / np.sqrt(f)
        if h != 0.0:
            for j in range(wide):
                e = b[j] - h * a[j]
                a[j] = k * (a[j] + gain * e)
                b[j] = e * scale
        else:
            for j in range(wide):
                b[j] *= scale
        w.variance[r], w.rise[r], w.gain[r], w.keep[r] = f, h, gain, k
        p = k * k * p * (1.0 - gain * h) + 1.0 - k * k
        log += np.log(f)
    return log


@njit(cache=True, nogil=True)
def gram_matrix(c, params, s, wide, w):  # type: ignore[no-untyped-def]
    """The upper triangle of ``[Z X y]'V^-1 [Z X y]`` of stay s into `gram`; returns log|V|."""
    log = whiten(c, params, s, wide, w)
    m = c.first[s + 1] - c.first[s]
    g = w.gram
    for i in range(wide):
        for j in range(i, wide):
            g[i, j] = 0.0
    for r in range(m):
        row = w.white[r]
        for i in range(wide):
            b = row[i]
            if b != 0.0:
                for j in range(i, wide):
                    g[i, j] += b * row[j]
    return log + absorb_constants(c, params, s, wide, w)


@njit(cache=True, nogil=True)
def absorb_constants(c, params, s, wide, w):  # type: ignore[no-untyped-def]
    """Take out of the gram what the constants of stay s explain; returns ``log|I + S U'M^-1 U S|``.

    `small` is left as the lower factor, and the gram's columns of U as ``S U'M^-1 [Z X y]`` solved by it.
    """
    u = 1 + c.cells[s]
    data = wide - u
    g, small, sd = w.gram, w.small, w.sd
    sd[0] = params.patient[c.group[s]]
    for i in range(1, u):
        sd[i] = params.patient_site
    log = 0.0
    for i in range(u):
        for j in range(i + 1):
            v = sd[i] * sd[j] * g[data + j, data + i]
            if i == j:
                v += 1.0
            for k in range(j):
                v -= small[i, k] * small[j, k]
            small[i, j] = np.sqrt(v) if i == j else v / small[j, j]
        log += 2.0 * np.log(small[i, i])
    for j in range(data):
        for i in range(u):
            v = sd[i] * g[j, data + i]
            for k in range(i):
                v -= small[i, k] * g[j, data + k]
            g[j, data + i] = v / small[i, i]
    for i in range(data):
        for k in range(u):
            b = g[i, data + k]
            if b != 0.0:
                for j in range(i, data):
                    g[i, j] -= b * g[j, data + k]
    return log
