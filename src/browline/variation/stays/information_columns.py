"""The columns of a second-order step: how each parameter would bend what the fit leaves of a stay.

    f = dV/dtheta r,   g = dX/dslope beta,   `cross` = W'[f g],   `inner` = [f g]'V^-1 [f g]

r is what the fit leaves, V^-1 e; in the order of adjoint.py.
"""

import numpy as np
from numba import njit

from browline.variation.stays.layout import COURSE, GROUP_PARAMETERS, HOURS, PATIENT, offsets


@njit(cache=True, nogil=True)
def information_columns(c, params, s, known, u, residual, n_sites, place, kx, dx, beta, working):  # type: ignore[no-untyped-def]
    """The columns f and g of the stay: patient, course, hours, patient_site, then reading, slope and g of its sites."""
    m, first, group = kx.shape[0], c.first[s], c.group[s]
    patient, course = params.patient[group] ** 2, params.course[group] ** 2
    residual_column = known + u
    patient_site, reading, rise, mean = offsets(1, n_sites)
    by_cell, by_site, level = np.zeros(u - 1), np.zeros(n_sites), 0.0
    for r in range(m):
        site = c.site[first + r]
        by_cell[c.cell[first + r]] += residual[r]
        by_site[place[site]] += residual[r]
        level += params.slope[site] * residual[r]
    for r in range(m):
        i = first + r
        site, row = c.site[i], working[r]
        slope = params.slope[site]
        # f = dV/dtheta r, V = patient^2 l l' + course^2 (K * l l') + patient_site^2 CC' + D (derivation, "A stay").
        row[PATIENT] = slope * level
        row[COURSE] = slope * kx[r, residual_column]
        row[HOURS] = course * slope * dx[r, residual_column]
        row[patient_site] = by_cell[c.cell[i]]
        # A site's slope l_s stands on both sides of l l': once through the stay's other readings at the site ...
        for j in range(n_sites):
            row[reading + j] = 0.0
            row[rise + j] = slope * (patient * by_site[j] + course * kx[r, residual_column + 1 + j])
            row[mean + j] = 0.0
        row[reading + place[site]] = c.variance_weight[i] * residual[r]
        # ... and once through this reading's own row.
        row[rise + place[site]] += patient * level + course * kx[r, residual_column]
        # g = dX/dslope beta; beta comes as -beta, a part of v.
        for j in range(c.x.shape[1]):
            if c.scaled[j]:
                row[mean + place[site]] -= c.x[i, j] * beta[j]


@njit(cache=True, nogil=True)
def second_order(c, params, s, w, known, u, n_sites, mine, working, cross, inner):  # type: ignore[no-untyped-def]
    """Add W'[f g] and [f g]'V^-1[f g]: the columns are whitened by the filter again, T takes the constants out."""
    m, begin, group = c.first[s + 1] - c.first[s], c.begins[s], c.group[s]
    k, p, groups, sites = known - c.x.shape[1], c.x.shape[1], len(params.hours), len(params.slope)
    patient_site, reading, rise, mean = offsets(1, n_sites)
    all_patient_site, all_reading, all_rise, all_mean = offsets(groups, sites)
    q, wide = len(cross) - p - 1, mean + n_sites
    # `to`: where each of the stay's columns stands among the columns of all groups and sites.
    to = np.empty(wide, np.int64)
    for j in range(GROUP_PARAMETERS):
        to[j] = GROUP_PARAMETERS * group + j
    to[patient_site] = all_patient_site
    for j in range(n_sites):
        to[reading + j] = all_reading + mine[j]
        to[rise + j] = all_rise + mine[j]
        to[mean + j] = all_mean + mine[j]
    gram, by_constant = np.zeros((wide, wide)), np.zeros((u, wide))
    a, white = np.zeros(wide), np.empty(wide)
    for r in range(m):
        # W'[f g], W = V^-1 [Z X y] already in `white`.
        for i in range(known + 1):
            b = w.white[r, i]
            if b != 0.0:
                row = c.touched[begin + i] if i < k else q + i - k
                for j in range(wide):
                    cross[row, to[j]] += b * working[r, j]
        for i in range(u):
            for j in range(wide):
                by_constant[i, j] += w.white[r, known + 1 + i] * working[r, j]
        # The filter's recursion of filter.py on [f g]: innovations e_i, whitened e_i / sqrt F_i.
        scale = 1.0 / np.sqrt(w.variance[r])
        for j in range(wide):
            e = working[r, j] - w.rise[r] * a[j]
            a[j] = w.keep[r] * (a[j] + w.gain[r] * e)
            white[j] = e * scale
        for i in range(wide):
            for j in range(wide):
                gram[i, j] += white[i] * white[j]
    # V^-1 = M^-1 - T T': what the stay's constants explain comes off.
    for i in range(wide):
        for j in range(wide):
            taken = 0.0
            for b in range(u):
                taken += by_constant[b, i] * by_constant[b, j]
            inner[to[i], to[j]] += gram[i, j] - taken
