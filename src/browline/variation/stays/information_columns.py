"""The columns of a second-order step: how each parameter would bend what the fit leaves of a stay.

    f = dV/dtheta r,   g = dX/dslope beta,   `against` = W'[f g],   `each` = [f g]'V^-1 [f g]

r is what the fit leaves, V^-1 e; in the order of adjoint.py.
"""

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def columns_of_step(c, at, s, known, u, residual, here, place, kx, dx, beta, bend):  # type: ignore[no-untyped-def]
    """The columns f and g of the stay: patient, course, hours, at_site, then reading, slope and g of its sites."""
    m, first, group = kx.shape[0], c.first[s], c.group[s]
    patient, course = at.patient[group] ** 2, at.course[group] ** 2
    own = known + u
    by_cell, by_site, level = np.zeros(u - 1), np.zeros(here), 0.0
    for r in range(m):
        site = c.site[first + r]
        by_cell[c.cell[first + r]] += residual[r]
        by_site[place[site]] += residual[r]
        level += at.slope[site] * residual[r]
    for r in range(m):
        i = first + r
        site, row = c.site[i], bend[r]
        slope = at.slope[site]
        row[0] = slope * level
        row[1] = slope * kx[r, own]
        row[2] = course * slope * dx[r, own]
        row[3] = by_cell[c.cell[i]]
        for j in range(here):
            row[4 + j] = 0.0
            row[4 + here + j] = slope * (patient * by_site[j] + course * kx[r, own + 1 + j])
            row[4 + 2 * here + j] = 0.0
        row[4 + place[site]] = c.doubt[i] * residual[r]
        row[4 + here + place[site]] += patient * level + course * kx[r, own]
        for j in range(c.x.shape[1]):
            if c.scaled[j]:
                row[4 + 2 * here + place[site]] -= c.x[i, j] * beta[j]


@njit(cache=True, nogil=True)
def second_order(c, at, s, w, known, u, here, mine, bend, against, each):  # type: ignore[no-untyped-def]
    """Add W'[f g] and [f g]'V^-1[f g]: the columns are whitened by the filter again, T takes the constants out."""
    m, begin, group = c.first[s + 1] - c.first[s], c.begins[s], c.group[s]
    k, p, groups, sites = known - c.x.shape[1], c.x.shape[1], len(at.hours), len(at.slope)
    q, wide = len(against) - p - 1, 4 + 3 * here
    to = np.empty(wide, np.int64)
    to[0], to[1], to[2], to[3] = 3 * group, 3 * group + 1, 3 * group + 2, 3 * groups
    for j in range(here):
        to[4 + j] = 3 * groups + 1 + mine[j]
        to[4 + here + j] = 3 * groups + 1 + sites + mine[j]
        to[4 + 2 * here + j] = 3 * groups + 1 + 2 * sites + mine[j]
    gram, by_constant = np.zeros((wide, wide)), np.zeros((u, wide))
    a, white = np.zeros(wide), np.empty(wide)
    for r in range(m):
        for i in range(known + 1):
            b = w.white[r, i]
            if b != 0.0:
                row = c.touched[begin + i] if i < k else q + i - k
                for j in range(wide):
                    against[row, to[j]] += b * bend[r, j]
        for i in range(u):
            for j in range(wide):
                by_constant[i, j] += w.white[r, known + 1 + i] * bend[r, j]
        scale = 1.0 / np.sqrt(w.variance[r])
        for j in range(wide):
            e = bend[r, j] - w.rise[r] * a[j]
            a[j] = w.keep[r] * (a[j] + w.gain[r] * e)
            white[j] = e * scale
        for i in range(wide):
            for j in range(wide):
                gram[i, j] += white[i] * white[j]
    for i in range(wide):
        for j in range(wide):
            taken = 0.0
            for b in range(u):
                taken += by_constant[b, i] * by_constant[b, j]
            each[to[i], to[j]] += gram[i, j] - taken
