"""One pass over the readings: every stay whitened, its small square added into the sums.

Runs of whole stays go to as many threads as there are cores; each thread has its own sums, merged at the end.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import reduce
from operator import add
from typing import TypeVar

import numpy as np
from numba import config, njit

from browline.variation.arrays import Codes, Floats
from browline.variation.stays.columns import Columns
from browline.variation.stays.course import Course
from browline.variation.stays.cross_products import Sums
from browline.variation.stays.filter import Work, gram_matrix, work

T = TypeVar("T")
SMALL = 4_000


def sums(columns: Columns, params: Course) -> Sums:
    """The sums over all stays at the spreads `params`."""
    return reduce(add, in_runs(columns, lambda start, stop: _sums(columns, params, start, stop)))


def in_runs(columns: Columns, run: Callable[[int, int], T]) -> list[T]:
    """`one(start, stop)` for runs of stays that cover all, one run a core, side by side."""
    edges = runs(columns)
    if len(edges) == 2:
        return [run(int(edges[0]), int(edges[1]))]
    with ThreadPoolExecutor(len(edges) - 1) as pool:
        return list(pool.map(run, edges[:-1].tolist(), edges[1:].tolist()))


def runs(columns: Columns) -> Codes:
    """Edges of runs of stays with about as many readings each, one run where there are few."""
    cores = 1 if len(columns) < SMALL else config.NUMBA_NUM_THREADS
    wanted = np.linspace(0, len(columns), cores + 1)[1:-1]
    inner = np.searchsorted(columns.arrays.first, wanted)
    return np.unique(np.concatenate([[0], inner, [columns.stays]])).astype(np.int64)


def room_for(columns: Columns, start: int, stop: int) -> Work:
    """Space for the largest stay among `start`..`stop`."""
    c = columns.arrays
    rows = int(np.diff(c.first[start : stop + 1]).max(initial=0))
    touched = np.diff(c.begins[start : stop + 1])
    constant = 1 + int(c.cells[start:stop].max(initial=0))
    return work(rows, int((touched + 1 + c.cells[start:stop]).max(initial=0)) + c.x.shape[1] + 1, constant)


def _sums(columns: Columns, params: Course, start: int, stop: int) -> Sums:
    c, q, wide = columns.arrays, columns.effects, columns.arrays.x.shape[1] + 1
    zz, zc, cc = np.zeros((q, q)), np.zeros((q, wide)), np.zeros((wide, wide))
    log = _merge(c, params, start, stop, room_for(columns, start, stop), zz, zc, cc)
    readings = int(c.first[stop] - c.first[start])
    return Sums(n=readings, zz=_both_halves(zz), zc=zc, cc=_both_halves(cc), logdet=float(log))


def _both_halves(half: Floats) -> Floats:
    """The symmetric matrix of which every pair's entry stands on one side or the other, the diagonal once."""
    full = half + half.T
    full[np.diag_indices(len(full))] /= 2
    return np.asarray(full)


@njit(cache=True, nogil=True)
def _merge(c, params, start, stop, w, zz, zc, cc):  # type: ignore[no-untyped-def]
    """Add every stay's gram into zz, zc, cc, each pair on one side only; returns log|V|."""
    log, p = 0.0, c.x.shape[1]
    for s in range(start, stop):
        begin = c.begins[s]
        k = c.begins[s + 1] - begin
        log += gram_matrix(c, params, s, k + p + 2 + c.cells[s], w)
        for i in range(k):
            row = c.touched[begin + i]
            for j in range(i, k):
                zz[row, c.touched[begin + j]] += w.gram[i, j]
            for j in range(p + 1):
                zc[row, j] += w.gram[i, k + j]
        for i in range(p + 1):
            for j in range(i, p + 1):
                cc[i, j] += w.gram[k + i, k + j]
    return log
