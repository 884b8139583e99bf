"""What the readings say of any grouping of one subject's readings: an instrument's weeks, days after a cleaning.

With C the one-hot cells of a subject and e what the fit leaves,

    H = C'V^-1 C,   g = C'V^-1 (e + C_own u_own)

are the information and the score of the cells' means with the subject's own effect left out, the stays' baselines
known only as well as their other readings tell them. Only cells of one subject are set against each other.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numba import njit

from browline.variation.arrays import Codes, Floats
from browline.variation.stays.columns import Columns, touched_by_stay
from browline.variation.stays.course import Course
from browline.variation.stays.filter import gram_matrix
from browline.variation.stays.passes import in_runs, room_for
from browline.variation.stays.residuals import without_effects


@dataclass(frozen=True)
class Cells:
    """The cells of one subject: `label` int64[c] rising, readings `n`, information H float64[c, c] and score g."""

    label: Codes
    n: Codes
    information: Floats
    score: Floats


def cells_by_level(
    columns: Columns, params: Course, e: Floats, codes: Codes, label: Codes, effects: Floats
) -> Iterator[tuple[int, Cells]]:
    """Every level's cells: one pass. `codes`, `label` int64[n] in the columns' order, -1 left out; `own` °C."""
    levels, width = len(effects), int(label.max(initial=0)) + 1
    charted = (codes >= 0) & (label >= 0)
    cell = np.where(charted, codes * width + label, -1)
    h, g = _sums(columns, params, e, cell, levels, width)
    counts = np.bincount(cell[charted], minlength=levels * width).reshape(levels, width)
    for level in range(levels):
        used = np.flatnonzero(counts[level])
        if len(used):
            information = h[level][np.ix_(used, used)]
            score = g[level][used] + information.sum(1) * effects[level]
            yield level, Cells(used.astype(np.int64), counts[level][used], information, score)


def cell_scores(columns: Columns, params: Course, e: Floats, cell: Codes) -> tuple[Floats, Floats]:
    """Information 1/°C^2 and score 1/°C of every cell alone, float64[cells]; `cell` int64[n] in the columns' order."""
    h, g = _sums(columns, params, e, cell, int(cell.max(initial=-1)) + 1, 1)
    return h[:, 0, 0], g[:, 0]


def _sums(
    columns: Columns, params: Course, e: Floats, cell: Codes, levels: int, width: int
) -> tuple[Floats, Floats]:
    alone = without_effects(columns.arrays, e)
    local, touched, begins = touched_by_stay(alone.first, cell[:, None])
    celled = Columns(
        alone._replace(local=local, touched=touched, begins=begins), (("cell", slice(0, levels * width)),),
        columns.order,
    )  # fmt: skip
    parts = in_runs(celled, lambda start, stop: _run(celled, params, start, stop, levels, width))
    h, g = (np.sum([part[k] for part in parts], axis=0) for k in (0, 1))
    h = h + h.transpose(0, 2, 1)
    h[:, np.arange(width), np.arange(width)] /= 2
    return h, g


def _run(
    celled: Columns, params: Course, start: int, stop: int, levels: int, width: int
) -> tuple[Floats, Floats]:
    h, g = np.zeros((levels, width, width)), np.zeros((levels, width))
    _merge(celled.arrays, params, start, stop, room_for(celled, start, stop), h, g)
    return h, g


@njit(cache=True, nogil=True)
def _merge(c, params, start, stop, w, h, g):  # type: ignore[no-untyped-def]
    """Add every stay's gram into h and g, cells of one level only, each pair on one side."""
    width = h.shape[1]
    for s in range(start, stop):
        begin = c.begins[s]
        k = c.begins[s + 1] - begin
        gram_matrix(c, params, s, k + 2 + c.cells[s], w)
        for i in range(k):
            level, label = c.touched[begin + i] // width, c.touched[begin + i] % width
            g[level, label] += w.gram[i, k]
            for j in range(i, k):
                if c.touched[begin + j] // width == level:
                    h[level, label, c.touched[begin + j] % width] += w.gram[i, j]
