"""What a stay leaves of every reading: ``V^-1 e`` and the diagonal of V^-1, e the readings less what is estimated.

A reading less what the rest of its stay says of it is ``(V^-1 e)_i / (V^-1)_ii``, with variance ``1 / (V^-1)_ii``.
"""

from dataclasses import dataclass

import numpy as np
from numba import njit

from browline.variation.arrays import Floats
from browline.variation.stays.columns import Arrays, Columns
from browline.variation.stays.course import Course
from browline.variation.stays.filter import gram_matrix, work
from browline.variation.stays.passes import in_runs
from browline.variation.stays.smooth import remove_constants, smooth_back


@dataclass(frozen=True)
class Residuals:
    """For every reading in the columns' order: `e` °C, `weighted` = V^-1 e, 1/°C, `precision` = diag V^-1, 1/°C^2."""

    e: Floats
    weighted: Floats
    precision: Floats

    def standardised(self) -> Floats:
        """Each reading less what the rest of its stay says, in standard deviations."""
        return np.asarray(self.weighted / np.sqrt(self.precision))


def estimated(columns: Columns, params: Course, u: Floats, beta: Floats) -> Floats:
    """``X beta + Z u`` of every reading, float64[n], °C from 37."""
    c = columns.arrays
    rise = np.where(c.scaled, params.slope[c.site][:, None], 1.0)
    values = ((c.x * rise) @ beta).astype(float)
    return np.asarray(_add_random_effects(c, u, values))


@njit(cache=True, nogil=True)
def _add_random_effects(c, u, values):  # type: ignore[no-untyped-def]
    for s in range(len(c.group)):
        for i in range(c.first[s], c.first[s + 1]):
            for f in range(c.local.shape[1]):
                if c.local[i, f] >= 0:
                    z = c.value[i, f] if c.value.shape[1] else 1.0
                    values[i] += z * u[c.touched[c.begins[s] + c.local[i, f]]]
    return values


def residuals(columns: Columns, params: Course, u: Floats, beta: Floats) -> Residuals:
    """What the fit leaves of every reading: one pass."""
    e = columns.arrays.y - estimated(columns, params, u, beta)
    alone = without_effects(columns.arrays, e)
    weighted, precision = np.empty(len(e)), np.empty(len(e))
    in_runs(columns, lambda start, stop: _run(alone, params, start, stop, weighted, precision))
    return Residuals(e, weighted, precision)


def without_effects(c: Arrays, e: Floats) -> Arrays:
    """The stays alone: `e` in place of y, no fixed columns, no effects."""
    n, stays = len(e), len(c.group)
    return c._replace(
        y=e,
        x=np.zeros((n, 0)),
        scaled=np.zeros(0, bool),
        local=np.zeros((n, 0), np.int32),
        value=np.zeros((n, 0)),
        touched=np.zeros(0, np.int64),
        begins=np.zeros(stays + 1, np.int64),
    )


def _run(c: Arrays, params: Course, start: int, stop: int, weighted: Floats, precision: Floats) -> None:
    rows = int(np.diff(c.first[start : stop + 1]).max(initial=0))
    constant = 1 + int(c.cells[start:stop].max(initial=0))
    _merge(c, params, start, stop, work(rows, 1 + constant, constant), weighted, precision)


@njit(cache=True, nogil=True)
def _merge(c, params, start, stop, w, weighted, precision):  # type: ignore[no-untyped-def]
    diagonal, level = np.empty(len(w.white)), np.empty(len(w.white))
    for s in range(start, stop):
        first, m, u = c.first[s], c.first[s + 1] - c.first[s], 1 + c.cells[s]
        gram_matrix(c, params, s, 1 + u, w)
        smooth_back(m, 1 + u, w, diagonal)
        remove_constants(m, 1 + u, u, w, level)
        for r in range(m):
            weighted[first + r] = w.white[r, 0]
            taken = 0.0
            for j in range(u):
                taken += w.white[r, 1 + j] ** 2
            precision[first + r] = diagonal[r] - taken
