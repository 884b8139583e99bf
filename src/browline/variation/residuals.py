"""What is left of every reading, and what it says about any grouping of one subject's readings.

With e = y - X beta - Z u and D the nest plus error over sigma^2, D^-1 e is what the stay and the episode
leave; for one-hot cells C (a week of an instrument, the days after a cleaning) the sums

    H = C' D^-1 C / sigma^2,   g = C' D^-1 (e + C_own u_own) / sigma^2

are the information and the score of the cells' means with the subject's own effect left out and the stay's
baseline known only as well as its other readings tell it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy import sparse

from browline.variation.design import Codes, Design, Factor, Floats
from browline.variation.fit import Fit
from browline.variation.sums import Block, blocks, grouping


@dataclass(frozen=True)
class Residuals:
    """For every reading, in the design's order: `e` °C, `left` = D^-1 e °C, `share` = diag(D^-1) in (0, 1]."""

    e: Floats
    left: Floats
    share: Floats


def residuals(design: Design, fit: Fit) -> Residuals:
    """What the fit leaves of every reading: ``left_i = e_i - a_j E_j - b_s T_s / (1 + m_j theta_e)``."""
    e = design.y - design.x @ fit.at.beta
    for factor, part in zip(design.factors, design.slices().values(), strict=True):
        said = factor.codes >= 0
        e[said] -= fit.at.u[part][factor.codes[said]]
    left, share = e.copy(), np.ones(len(e))
    if not design.nest:
        return Residuals(e, left, share)
    theta = fit.theta(len(design.nest))
    episode = design.nest[-1].codes
    weight = 1.0 / (1.0 + np.bincount(episode) * theta[-1])
    a = (theta[-1] * weight)[episode]
    left -= a * np.bincount(episode, e)[episode]
    share -= a
    if len(design.nest) == 2:
        stay, w = design.nest[0].codes, weight[episode]
        b = (theta[0] / (1.0 + theta[0] * np.bincount(stay, w)))[stay]
        left -= b * np.bincount(stay, e * w)[stay] * w
        share -= b * w**2
    return Residuals(e, left, share)


@dataclass(frozen=True)
class Cells:
    """The cells of one level: their labels int64[c] in order, readings n, information H and score g."""

    label: Codes
    n: Codes
    information: Floats
    score: Floats


def cells_by_level(
    design: Design, fit: Fit, left: Residuals, codes: Codes, label: Codes, own: Floats
) -> Iterator[tuple[int, Cells]]:
    """Every level's cells. `codes`, `label` int64[n] in the design's order (-1 left out); `own` °C by level."""
    width = int(label.max(initial=0)) + 1
    said = (codes >= 0) & (label >= 0)
    key, inverse, counts = np.unique(
        codes[said] * width + label[said], return_inverse=True, return_counts=True
    )
    cell = np.full(len(codes), -1, np.int64)
    cell[said] = inverse
    information, score = _information(design, fit, left, cell, key // width)
    starts = np.flatnonzero(np.diff(key // width, prepend=-1) != 0)
    for start, stop in zip(starts, np.append(starts[1:], len(key)), strict=True):
        level, part = int(key[start] // width), slice(int(start), int(stop))
        h = information[part, part].toarray()
        yield level, Cells(key[part] % width, counts[part], h, score[part] + h.sum(1) * own[level])


def _information(
    design: Design, fit: Fit, left: Residuals, cell: Codes, level: Codes
) -> tuple[sparse.csr_array, Floats]:
    """H between cells of one level, and C'D^-1 e, both over sigma^2."""
    width, variance = len(level), fit.sigma**2
    said = cell >= 0
    score = np.bincount(cell[said], left.left[said], width) / variance
    own = sparse.diags_array(np.bincount(cell[said], minlength=width).astype(float))
    if not design.nest:
        return (own / variance).tocsr(), score
    celled = Design(design.y, design.x[:, :0], (Factor("cell", cell, width),), design.nest, design.order)
    taken = sum(
        (_taken(b, fit.theta(b.depth), level) for b in blocks(celled, 100_000)),
        sparse.csr_array((width,) * 2),
    )
    return ((own - taken) / variance).tocsr(), score


def _taken(block: Block, theta: Floats, level: Codes) -> sparse.csr_array:
    """What not knowing the stay and the episode takes from the information."""
    grown = 1.0 + block.size * theta[-1]
    scaled = sparse.diags_array(theta[-1] / grown) @ block.z
    taken = _within(block.z.T @ scaled, level)
    if block.depth == 1:
        return taken
    stays = int(block.stay[-1]) + 1
    s = np.bincount(block.stay, block.size / grown, stays)
    t = grouping(block.stay, 1.0 / grown, stays) @ block.z
    return taken + _within(t.T @ (sparse.diags_array(theta[0] / (1.0 + theta[0] * s)) @ t), level)


def _within(matrix: sparse.csr_array, level: Codes) -> sparse.csr_array:
    """Only the entries between cells of one level."""
    entries = matrix.tocoo()
    row, column = entries.coords
    keep = level[row] == level[column]
    return sparse.csr_array((entries.data[keep], (row[keep], column[keep])), shape=matrix.shape)
