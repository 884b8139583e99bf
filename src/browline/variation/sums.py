"""The per-stay sums that merge: all that the criterion needs of the readings, at given nest variances.

With B = [Z X y] and D the covariance of the nest plus error over sigma^2,

    gram = B' D^-1 B = B'B - sum_j a_j E_j'E_j - sum_s b_s T_s'T_s
    a_j = theta_e / (1 + m_j theta_e)            E_j = sums of B over episode j of m_j readings
    b_s = theta_s / (1 + theta_s S_s)            T_s = sum_j E_j / (1 + m_j theta_e)
                                                 S_s = sum_j m_j / (1 + m_j theta_e)
    log|D| = sum_j log(1 + m_j theta_e) + sum_s log(1 + theta_s S_s)

Derivation in docs/derivations/variation.md. Every term is a sum over stays, so the sums of two sets of
stays add: one process, several, and a cluster compute the same thing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import add

import numpy as np
from scipy import sparse

from browline.variation.design import Codes, Design, Floats

BLOCK = 250_000


@dataclass(frozen=True)
class Sums:
    """``B'D^-1 B`` and ``log|D|``, each with its derivatives by the k nest variances over sigma^2, outermost first.

    - `n`: readings. `zz`: 1 + k sparse[q, q] by effects; `zc` float64[1 + k, q, p + 1] effects by [X y];
      `cc` float64[1 + k, p + 1, p + 1]. Place 0 is the matrix itself, 1.. its derivatives.
    - `logdet` float64[1 + k].
    """

    n: int
    zz: tuple[sparse.csr_array, ...]
    zc: Floats
    cc: Floats
    logdet: Floats

    def __add__(self, other: "Sums") -> "Sums":
        """The sums of both sets of stays together."""
        zz = tuple(a + b for a, b in zip(self.zz, other.zz, strict=True))
        return Sums(self.n + other.n, zz, self.zc + other.zc, self.cc + other.cc, self.logdet + other.logdet)

    def times(self, which: int, v: Floats) -> Floats:
        """The whole matrix at place `which` times v float64[q + p + 1, ...]."""
        q = self.zz[0].shape[0]
        top = self.zz[which] @ v[:q] + self.zc[which] @ v[q:]
        return np.concatenate([top, self.zc[which].T @ v[:q] + self.cc[which] @ v[q:]])


@dataclass(frozen=True)
class Gram:
    """One cross product ``[z c]'[z c]`` in its three parts, which add and subtract as one."""

    zz: sparse.csr_array
    zc: Floats
    cc: Floats

    def __add__(self, other: "Gram") -> "Gram":
        return Gram(self.zz + other.zz, self.zc + other.zc, self.cc + other.cc)

    def __sub__(self, other: "Gram") -> "Gram":
        return Gram(self.zz - other.zz, self.zc - other.zc, self.cc - other.cc)


@dataclass(frozen=True)
class Block:
    """A run of whole stays, folded to episodes: what one pass reads.

    - `z`: sparse[J, q] episode sums of the one-hot effects; `c`: float64[J, p + 1] of [X y].
    - `size`: float64[J] readings of the episode; `stay`: int64[J] stay of the episode within the block.
    - `own`: the part that does not depend on any variance, B'B.
    """

    z: sparse.csr_array
    c: Floats
    size: Floats
    stay: Codes
    own: Gram
    depth: int

    @property
    def n(self) -> int:
        """Readings in the block."""
        return int(self.size.sum())

    @property
    def stays(self) -> int:
        """Stays in the block."""
        return int(self.stay[-1]) + 1 if len(self.stay) else 0


def blocks(design: Design, readings: int = BLOCK) -> tuple[Block, ...]:
    """The design folded stay by stay, about `readings` at a time so that memory stays bounded."""
    return tuple(_block(design, rows) for rows in _runs(design, readings))


def _runs(design: Design, readings: int) -> Iterator[slice]:
    """Runs of rows that break only between stays."""
    n = len(design.y)
    starts = _starts(design.nest[0].codes) if design.nest else np.arange(n)
    start = 0
    while start < n:
        after = np.searchsorted(starts, start + readings)
        stop = int(starts[after]) if after < len(starts) else n
        yield slice(start, stop)
        start = stop


def _starts(codes: Codes) -> Codes:
    return np.flatnonzero(np.diff(codes, prepend=-1) != 0)


def _block(design: Design, rows: slice) -> Block:
    z = one_hot(design, rows)
    c = np.column_stack([design.x[rows], design.y[rows]])
    own = weighted(z, c, np.ones(len(c)))
    if not design.nest:
        nothing = sparse.csr_array((0, design.width))
        return Block(nothing, c[:0], np.full(1, float(len(c))), np.zeros(0, np.int64), own, 0)
    starts = _starts(design.nest[-1].codes[rows])
    size = np.diff(starts, append=len(c)).astype(float)
    outer = design.nest[0].codes[rows][starts]
    stay = np.cumsum(np.diff(outer, prepend=outer[:1]) != 0).astype(np.int64)
    fold = grouping(np.repeat(np.arange(len(starts)), size.astype(np.int64)), np.ones(len(c)), len(starts))
    return Block((fold @ z).tocsr(), np.add.reduceat(c, starts), size, stay, own, len(design.nest))


def one_hot(design: Design, rows: slice) -> sparse.csr_array:
    """Z of these rows: one column per effect, a missing code gives no entry."""
    parts = [_one_hot(f.codes[rows], f.levels) for f in design.factors]
    n = len(design.y[rows])
    return sparse.hstack(parts, format="csr") if parts else sparse.csr_array((n, 0))


def _one_hot(codes: Codes, levels: int) -> sparse.csr_array:
    said = np.flatnonzero(codes >= 0)
    return sparse.csr_array((np.ones(len(said)), (said, codes[said])), shape=(len(codes), levels))


def grouping(group: Codes, weight: Floats, groups: int) -> sparse.csr_array:
    """The matrix that adds rows, each with its weight, into their groups."""
    return sparse.csr_array((weight, (group, np.arange(len(group)))), shape=(groups, len(group)))


def weighted(z: sparse.csr_array, c: Floats, weight: Floats) -> Gram:
    """``[z c]' diag(weight) [z c]``."""
    heavy = c * weight[:, None]
    return Gram((z.T @ (sparse.diags_array(weight) @ z)).tocsr(), z.T @ heavy, c.T @ heavy)


def mixed(z: sparse.csr_array, c: Floats, z2: sparse.csr_array, c2: Floats) -> Gram:
    """``[z c]'[z2 c2] + [z2 c2]'[z c]``."""
    zz = (z.T @ z2).tocsr()
    cc = c.T @ c2
    return Gram((zz + zz.T).tocsr(), z.T @ c2 + z2.T @ c, cc + cc.T)


def sums(folded: Sequence[Block], theta: Floats) -> Sums:
    """The sums over all blocks at the nest variances `theta` float64[k] (over sigma^2, outermost first)."""
    return reduce(add, (block_sums(block, theta) for block in folded))


def block_sums(block: Block, theta: Floats) -> Sums:
    """The sums of one block; the terms are named as in the head of this file."""
    if block.depth == 0:
        return _sums(block, [block.own], [0.0])
    return _one_grouping(block, theta) if block.depth == 1 else _two_groupings(block, theta)


def _sums(block: Block, grams: Sequence[Gram], logdet: Sequence[float]) -> Sums:
    zz = tuple(g.zz for g in grams)
    return Sums(
        block.n, zz, np.stack([g.zc for g in grams]), np.stack([g.cc for g in grams]), np.array(logdet)
    )


def _inner(block: Block, theta: float) -> tuple[Gram, Gram, float, float]:
    """The innermost grouping: ``a = theta / (1 + m theta)``, ``da = 1 / (1 + m theta)^2``, and its logs."""
    grown = 1.0 + block.size * theta
    taken = weighted(block.z, block.c, theta / grown)
    slope = weighted(block.z, block.c, 1.0 / grown**2)
    return taken, slope, float(np.log(grown).sum()), float((block.size / grown).sum())


def _one_grouping(block: Block, theta: Floats) -> Sums:
    taken, slope, log, dlog = _inner(block, float(theta[0]))
    nothing = block.own - block.own
    return _sums(block, [block.own - taken, nothing - slope], [log, dlog])


def _two_groupings(block: Block, theta: Floats) -> Sums:
    """Both groupings; with U_s = sum_j m_j E_j / (1 + m_j theta_e)^2 = -dT/dtheta_e and Q_s = -dS/dtheta_e,

    d gram / d theta_e = d inner + sum_s b_s (R_s'T_s + T_s'R_s),  R_s = U_s - b_s Q_s T_s / 2
    d gram / d theta_s = - sum_s T_s'T_s / (1 + theta_s S_s)^2
    """
    theta_s, theta_e = float(theta[0]), float(theta[1])
    taken, slope, log, dlog = _inner(block, theta_e)
    weight = 1.0 / (1.0 + block.size * theta_e)
    thin = block.size * weight**2
    s = np.bincount(block.stay, block.size * weight, block.stays)
    q = np.bincount(block.stay, block.size * thin, block.stays)
    grown = np.asarray(1.0 + theta_s * s, np.float64)
    b = theta_s / grown
    plain, turned = grouping(block.stay, weight, block.stays), grouping(block.stay, thin, block.stays)
    tz, tc = (plain @ block.z).tocsr(), plain @ block.c
    turn = turned - sparse.diags_array(b * q / 2) @ plain
    rz, rc = sparse.diags_array(b) @ (turn @ block.z), b[:, None] * (turn @ block.c)
    by_stay, by_episode = weighted(tz, tc, 1.0 / grown**2), mixed(rz.tocsr(), rc, tz, tc)
    nothing = block.own - block.own
    return _sums(
        block,
        [block.own - taken - weighted(tz, tc, b), nothing - by_stay, by_episode - slope],
        [log + float(np.log(grown).sum()), float((s / grown).sum()), dlog - float((b * q).sum())],
    )


@dataclass(frozen=True)
class Directions:
    """How each nest variance would bend the fitted residual, for the second-order step.

    Columns f_k = V_k P y, constant within an episode. `against` float64[w, k]: B'D^-1 F; `each` float64[k, k]:
    F'D^-1 F. Both add over stays.
    """

    against: Floats
    each: Floats

    def __add__(self, other: "Directions") -> "Directions":
        """The directions of both sets of stays together."""
        return Directions(self.against + other.against, self.each + other.each)


def directions(folded: Sequence[Block], theta: Floats, v: Floats) -> Directions:
    """Directions at nest variances `theta` and residual ``B v``, with `v` float64[w]."""
    return reduce(add, (_directions(block, theta, v) for block in folded))


def _directions(block: Block, theta: Floats, v: Floats) -> Directions:
    if block.depth == 0:
        return Directions(np.zeros((len(v), 0)), np.zeros((0, 0)))
    q = block.z.shape[1]
    residual = block.z @ v[:q] + block.c @ v[q:]
    pressed = _press(block, theta, residual)
    by_stay = np.bincount(block.stay, pressed, block.stays)[block.stay]
    f = np.column_stack([by_stay, pressed][-block.depth :])
    pressed_f = np.column_stack([_press(block, theta, block.size * column) for column in f.T])
    shared = pressed_f / block.size[:, None]
    return Directions(np.vstack([block.z.T @ shared, block.c.T @ shared]), f.T @ pressed_f)


def _press(block: Block, theta: Floats, total: Floats) -> Floats:
    """Episode sums of D^-1 times a column, from its episode sums.

    ``(E_j - m_j b_s T_s) / (1 + m_j theta_e)``; exact for any column, and for one that is constant within
    episodes the value at each reading is the sum over m_j.
    """
    weight = 1.0 / (1.0 + block.size * theta[-1])
    pressed = total * weight
    if block.depth == 1:
        return np.asarray(pressed)
    s = np.bincount(block.stay, block.size * weight, block.stays)
    b = theta[0] / (1.0 + theta[0] * s)
    t = np.bincount(block.stay, pressed, block.stays)
    return np.asarray(pressed - (b * t)[block.stay] * block.size * weight)
