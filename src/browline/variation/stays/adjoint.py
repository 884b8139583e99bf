"""The slopes of the criterion by the spreads within stays, and what its second-order step needs, in one pass.

With A the adjoint of the gram (posterior covariance C of (u, beta), plus v v' with v = (-u, -beta, 1)), W = V^-1 B
and r = W v, every parameter's slope is one matrix against its derivative of V,

    d criterion / d theta = < V^-1 - W C W' - r r', dV/dtheta >

and no m by m matrix is ever formed: V^-1 = M^-1 - T T', and K times a column is two sweeps (smooth.py). A slope of a
site also moves the fixed columns: ``2 sum x_ij (C W' + v r')_ji`` over its readings. The step uses the columns
``f = dV/dtheta r``, and ``g = dX/dslope beta`` for slopes: `cross` = W'[f g], `inner` = [f g]'V^-1[f g].

Parameters stand in this order: patient^2, course^2, log hours of each group, patient_site^2, reading^2 of each site,
slope of each site; then the g columns of each site.
"""

from dataclasses import dataclass
from functools import reduce
from operator import add

import numpy as np
from numba import njit

from browline.variation.arrays import Floats
from browline.variation.stays.columns import Columns
from browline.variation.stays.course import Course
from browline.variation.stays.filter import gram_matrix
from browline.variation.stays.information_columns import information_columns, second_order
from browline.variation.stays.layout import COURSE, GROUP_PARAMETERS, HOURS, PATIENT, offsets, stay_parameters
from browline.variation.stays.passes import in_runs, room_for
from browline.variation.stays.smooth import course_products, log_det_slopes, remove_constants, smooth_back


@dataclass(frozen=True)
class Adjoint:
    """Sums over stays for one second-order step; both sets of stays together is `+`.

    - `slopes` float64[P]: d criterion / d theta, P = 3 G + 1 + 2 S. `scores` float64[P, P]: sum over stays of the
      outer product of a stay's own slopes.
    - `cross` float64[q + p + 1, P + S]; `inner` float64[P + S, P + S]: see the head of this file.
    """

    slopes: Floats
    scores: Floats
    cross: Floats
    inner: Floats

    def __add__(self, more: "Adjoint") -> "Adjoint":
        pairs = zip(summed_arrays(self), summed_arrays(more), strict=True)
        return Adjoint(*(mine + its for mine, its in pairs))


def summed_arrays(sums: Adjoint) -> tuple[Floats, ...]:
    """The sums in order."""
    return sums.slopes, sums.scores, sums.cross, sums.inner


def adjoint(columns: Columns, params: Course, covariance: Floats, direction: Floats) -> Adjoint:
    """One pass. `covariance` float64[q + p, q + p]: C; `direction` float64[q + p + 1]: v = (-u, -beta, 1)."""
    return reduce(add, in_runs(columns, lambda a, b: _run(columns, params, covariance, direction, a, b)))


def _run(columns: Columns, params: Course, c: Floats, v: Floats, start: int, stop: int) -> Adjoint:
    sites = len(params.slope)
    wanted = stay_parameters(len(params.hours), sites)
    total = Adjoint(
        np.zeros(wanted),
        np.zeros((wanted, wanted)),
        np.zeros((len(v), wanted + sites)),
        np.zeros((wanted + sites, wanted + sites)),
    )
    w = room_for(columns, start, stop)
    m, wide = w.white.shape
    space = tuple(np.empty((m, wide + 1 + sites)) for _ in range(3))
    local = np.empty((wide, wide))
    _stays(columns.arrays, params, start, stop, w, space, local, c, v, *summed_arrays(total))
    return total


@njit(cache=True, nogil=True)
def _stays(c, params, start, stop, w, space, local, cov, v, slopes, scores, cross, inner):  # type: ignore[no-untyped-def]
    """All stays of a run, added into slopes, against and each."""
    p, q, sites = c.x.shape[1], len(cov) - c.x.shape[1], len(params.slope)
    precision, level, residual = np.empty(len(w.white)), np.empty(len(w.white)), np.empty(len(w.white))
    mine, place = np.empty(sites, np.int64), np.empty(sites, np.int64)
    working = np.empty((len(w.white), stay_parameters(1, sites) + sites))
    stay_slopes = np.zeros(len(slopes))
    for s in range(start, stop):
        begin, first = c.begins[s], c.first[s]
        m, k, u = c.first[s + 1] - first, c.begins[s + 1] - begin, 1 + c.cells[s]
        wide, known = k + p + 1 + u, k + p
        gram_matrix(c, params, s, wide, w)
        smooth_back(m, wide, w, precision)
        remove_constants(m, wide, u, w, level)
        posterior_block(c, begin, k, p, q, cov, local)
        for r in range(m):
            total = w.white[r, known]
            for j in range(k):
                total += w.white[r, j] * v[c.touched[begin + j]]
            for j in range(p):
                total += w.white[r, k + j] * v[q + j]
            residual[r] = total
        n_sites = stay_sites(c, s, mine, place)
        x, kx, dx = (
            space[0][:m, : wide + n_sites],
            space[1][:m, : wide + n_sites],
            space[2][:m, : wide + n_sites],
        )
        course_columns(c, params, s, w, known, u, residual, n_sites, place, x)
        course_products(c, params, s, w, x, kx, dx)
        first_order(
            c, params, s, w, known, u, residual, precision, level, local, x, kx, dx, v[q:], stay_slopes
        )
        add_scores(stay_slopes, slopes, scores)
        information_columns(c, params, s, known, u, residual, n_sites, place, kx, dx, v[q:], working)
        second_order(c, params, s, w, known, u, n_sites, mine, working, cross, inner)


@njit(cache=True, nogil=True)
def add_scores(stay_slopes, slopes, scores):  # type: ignore[no-untyped-def]
    """Add a stay's own slopes and their outer product, and clear them for the next stay."""
    for i in range(len(stay_slopes)):
        slopes[i] += stay_slopes[i]
        for j in range(len(stay_slopes)):
            scores[i, j] += stay_slopes[i] * stay_slopes[j]
    stay_slopes[:] = 0.0


@njit(cache=True, nogil=True)
def posterior_block(c, begin, k, p, q, cov, local):  # type: ignore[no-untyped-def]
    """The stay's own square of C, effects first."""
    for i in range(k + p):
        row = c.touched[begin + i] if i < k else q + i - k
        for j in range(k):
            local[i, j] = cov[row, c.touched[begin + j]]
        for j in range(p):
            local[i, k + j] = cov[row, q + j]


@njit(cache=True, nogil=True)
def stay_sites(c, s, mine, place):  # type: ignore[no-untyped-def]
    """The sites of stay s into `mine`, their place among them into `place`; returns how many."""
    n_sites = 0
    place[:] = -1
    for i in range(c.first[s], c.first[s + 1]):
        if place[c.site[i]] < 0:
            place[c.site[i]] = n_sites
            mine[n_sites] = c.site[i]
            n_sites += 1
    return n_sites


@njit(cache=True, nogil=True)
def course_columns(c, params, s, w, known, u, residual, n_sites, place, x):  # type: ignore[no-untyped-def]
    """Columns that the course moves: slope times [W, T, r], then r at each of the stay's sites alone."""
    x[:] = 0.0
    for r in range(x.shape[0]):
        site = c.site[c.first[s] + r]
        slope = params.slope[site]
        for j in range(known):
            x[r, j] = slope * w.white[r, j]
        for j in range(u):
            x[r, known + j] = slope * w.white[r, known + 1 + j]
        x[r, known + u] = slope * residual[r]
        x[r, known + u + 1 + place[site]] = residual[r]


@njit(cache=True, nogil=True)
def first_order(c, params, s, w, known, u, residual, precision, level, local, x, kx, dx, beta, slopes):  # type: ignore[no-untyped-def]
    """Add the stay's slopes. `beta`: the part of v that belongs to the fixed columns and y."""
    m, first, group = x.shape[0], c.first[s], c.group[s]
    groups, sites = len(params.hours), len(params.slope)
    patient, course = params.patient[group] ** 2, params.course[group] ** 2
    p = c.x.shape[1]
    patient_site, reading, rise_, _ = offsets(groups, sites)
    mine = GROUP_PARAMETERS * group
    end = known + u + 1
    total = np.zeros(end)
    for r in range(m):
        for j in range(end):
            total[j] += x[r, j]
    by_course, by_hours = log_det_slopes(c, params, s, w)
    projected = np.empty(known)
    for r in range(m):
        i = first + r
        site = c.site[i]
        slope = params.slope[site]
        # Row i of W C, C the posterior covariance: <W C W', dV/dtheta> is summed row by row.
        projected[:] = 0.0
        for a in range(known):
            b = w.white[r, a]
            if b != 0.0:
                for j in range(known):
                    projected[j] += b * local[a, j]
        diagonal, by_level, by_change, by_sum = 0.0, 0.0, 0.0, 0.0
        for j in range(known):
            diagonal += projected[j] * w.white[r, j]
            by_level += projected[j] * kx[r, j]
            by_change += projected[j] * dx[r, j]
            by_sum += projected[j] * total[j]
        # T T' of V^-1 = M^-1 - T T' enters alike.
        for j in range(u):
            t = w.white[r, known + 1 + j]
            diagonal += t * t
            by_level += t * kx[r, known + j]
            by_change += t * dx[r, known + j]
            by_sum += t * total[known + j]
        # r r', the last of the three terms.
        e = residual[r]
        diagonal += e * e
        by_level += e * kx[r, end - 1]
        by_change += e * dx[r, end - 1]
        by_sum += e * total[end - 1]
        by_course -= slope * by_level
        by_hours -= course * slope * by_change
        # patient^2: V' = l l'.  reading^2 of the site: V' = diag(weight).
        slopes[mine + PATIENT] += slope * (level[r] - by_sum)
        slopes[reading + site] += c.variance_weight[i] * (precision[r] - diagonal)
        error = params.reading[site] ** 2 * c.variance_weight[i]
        # The site's slope: through V, then through the fixed columns it multiplies, 2 sum x (C W' + v r').
        rise = (1.0 - precision[r] * error) / slope + patient * (level[r] - by_sum) - course * by_level
        for j in range(p):
            if c.scaled[j]:
                rise += c.x[i, j] * (projected[known - p + j] + e * beta[j])
        slopes[rise_ + site] += 2.0 * rise
    slopes[mine + COURSE] += by_course
    slopes[mine + HOURS] += by_hours
    slopes[patient_site] += patient_site_slope(c, s, w, known, u, residual, local)


@njit(cache=True, nogil=True)
def patient_site_slope(c, s, w, known, u, residual, local):  # type: ignore[no-untyped-def]
    """The slope by patient_site^2: sums over the readings of each cell, against the same matrix."""
    first, last, slope = c.first[s], c.first[s + 1], 0.0
    sums = np.empty(known + u + 1)
    for cell in range(u - 1):
        sums[:] = 0.0
        for i in range(first, last):
            if c.cell[i] == cell:
                for j in range(known):
                    sums[j] += w.white[i - first, j]
                for j in range(u):
                    sums[known + j] += w.white[i - first, known + 1 + j]
                sums[known + u] += residual[i - first]
        slope += w.gram[known + 2 + cell, known + 2 + cell]
        for j in range(known, known + u + 1):
            slope -= sums[j] ** 2
        for a in range(known):
            if sums[a] != 0.0:
                for j in range(known):
                    slope -= sums[a] * local[a, j] * sums[j]
    return slope
