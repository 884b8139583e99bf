"""A whitened stay carried back: the columns of ``V^-1 [Z X y]``, and the course's own sums along a stay.

Going back through the readings with ``s_i = k_i (1 - gain_i h_i) s_{i+1} - h_i e_i / F_i`` from s = 0,

    (M^-1 b)_i = e_i / F_i + k_i gain_i s_{i+1},    (M^-1)_ii = 1 / F_i + (k_i gain_i)^2 N_{i+1}
    N_i = (k_i (1 - gain_i h_i))^2 N_{i+1} + h_i^2 / F_i

and the constants of the stay are taken out by ``V^-1 b = M^-1 b - T R``, T = M^-1 U S L^-T, ``M^-1 - T T' = V^-1``.
"""

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def smooth_back(m, wide, w, precision):  # type: ignore[no-untyped-def]
    """Turn the whitened columns into ``M^-1 [Z X y U]``, and write the diagonal of M^-1 into `precision`."""
    s = w.state[:wide]
    s[:] = 0.0
    state_variance = 0.0
    for r in range(m - 1, -1, -1):
        f, h, gain, k = w.variance[r], w.rise[r], w.gain[r], w.keep[r]
        precision[r] = 1.0 / f + (k * gain) ** 2 * state_variance
        through = k * (1.0 - gain * h)
        state_variance = through * through * state_variance + h * h / f
        row, scale = w.white[r], 1.0 / np.sqrt(f)
        if h != 0.0:
            for j in range(wide):
                e = row[j] * scale
                row[j] = e + k * gain * s[j]
                s[j] = through * s[j] - h * e
        else:
            for j in range(wide):
                row[j] *= scale


@njit(cache=True, nogil=True)
def remove_constants(m, wide, u, w, level):  # type: ignore[no-untyped-def]
    """Take the constants out: columns become ``V^-1 [Z X y]``, those of U become T; `level` keeps M^-1 of U's first."""
    data = wide - u
    for r in range(m):
        row = w.white[r]
        level[r] = row[data]
        for i in range(u):
            v = w.sd[i] * row[data + i]
            for k in range(i):
                v -= w.small[i, k] * row[data + k]
            row[data + i] = v / w.small[i, i]
        for i in range(u):
            t = row[data + i]
            if t != 0.0:
                for j in range(data):
                    row[j] -= t * w.gram[j, data + i]


@njit(cache=True, nogil=True)
def log_det_slopes(c, params, s, w):  # type: ignore[no-untyped-def]
    """The slopes of log|M| by course^2 and by log hours, carried forward with the filter's variance p.

    ``dF = l^2 (p dv + v dp)``, ``dp+ = D (F dp - p dF) / F^2``, ``dp' = k^2 dp+ + 2 k dk (p+ - 1)``.
    """
    first, m = c.first[s], c.first[s + 1] - c.first[s]
    v, hours = params.course[c.group[s]] ** 2, params.hours[c.group[s]]
    p, by_v, by_h, out_v, out_h = 1.0, 0.0, 0.0, 0.0, 0.0
    for r in range(m):
        f, k = w.variance[r], w.keep[r]
        l2 = params.slope[c.site[first + r]] ** 2
        d = f - l2 * v * p
        f_v, f_h = l2 * (p + v * by_v), l2 * v * by_h
        out_v += f_v / f
        out_h += f_h / f
        after = p * d / f
        after_v, after_h = d * (by_v * f - p * f_v) / f**2, d * (by_h * f - p * f_h) / f**2
        if r + 1 < m:
            steep = k * (c.time[first + r + 1] - c.time[first + r]) / hours
            by_v = k * k * after_v
            by_h = k * k * after_h + 2 * k * steep * (after - 1.0)
            p = k * k * after + 1.0 - k * k
    return out_v, out_h


@njit(cache=True, nogil=True)
def course_products(c, params, s, w, x, level, hours):  # type: ignore[no-untyped-def]
    """``K x`` into `level` and ``dK/dlog hours x`` into `hours`, K_ij = exp(-|t_i - t_j| / hours), by two sweeps.

    ``p_i = k (p_{i-1} + x_{i-1})``, ``q_i = k (q_{i-1} + dt / hours (p_{i-1} + x_{i-1}))``, and the same backwards.
    `x`, `level`, `hours`: float64[m, n].
    """
    first, m, wide = c.first[s], x.shape[0], x.shape[1]
    tau = params.hours[c.group[s]]
    level[:] = x
    hours[:] = 0.0
    p, q = np.zeros(wide), np.zeros(wide)
    for r in range(1, m):
        k, gone = w.keep[r - 1], (c.time[first + r] - c.time[first + r - 1]) / tau
        step(k, gone, x[r - 1], p, q, level[r], hours[r])
    p[:] = 0.0
    q[:] = 0.0
    for r in range(m - 2, -1, -1):
        k, gone = w.keep[r], (c.time[first + r + 1] - c.time[first + r]) / tau
        step(k, gone, x[r + 1], p, q, level[r], hours[r])


@njit(cache=True, nogil=True)
def step(k, gone, passed, p, q, level, hours):  # type: ignore[no-untyped-def]
    """One reading further along a sweep of `course_products`."""
    for j in range(len(p)):
        so_far = p[j] + passed[j]
        q[j] = k * (q[j] + gone * so_far)
        p[j] = k * so_far
        level[j] += p[j]
        hours[j] += q[j]
