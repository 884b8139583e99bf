"""The per-stay sums that merge: all that the criterion needs of the readings, at given nest variances.

With B = [Z X y] and D the covariance of the nest plus error over sigma^2,

    gram = B' D^-1 B = B'B - sum_j a_j E_j'E_j - sum_s b_s T_s'T_s
    a_j = theta_e / (1 + m_j theta_e)            E_j = sums of B over episode j of m_j readings
    b_s = theta_s / (1 + theta_s S_s)            T_s = sum_j E_j / (1 + m_j theta_e),  S_s = sum_j m_j / (1 + m_j theta_e)
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
    """Cross products and log determinant, each with its derivatives by the nest variances.

    - `n`: readings. `gram`: float64[1 + k, w, w]; 0 is B'D^-1 B, 1.. its derivative by each of the k nest
      variances (over sigma^2), outermost first; w = effects + fixed columns + 1, the response last.
    - `logdet`: float64[1 + k], log|D| and its derivatives.
    """

    n: int
    gram: Floats
    logdet: Floats

    def __add__(self, other: "Sums") -> "Sums":
        """The sums of both sets of stays together."""
        return Sums(self.n + other.n, self.gram + other.gram, self.logdet + other.logdet)


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
    own: Floats
    depth: int

    @property
    def n(self) -> int:
        return int(self.size.sum())


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
    own = cross(z, c, z, c)
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


def cross(z: sparse.csr_array, c: Floats, z2: sparse.csr_array, c2: Floats) -> Floats:
    """``[z c]' [z2 c2]`` as one dense matrix, the sparse part kept sparse while it is multiplied."""
    q = z.shape[1]
    made = np.empty((q + c.shape[1],) * 2)
    made[:q, :q] = (z.T @ z2).toarray()
    made[:q, q:] = z.T @ c2
    made[q:, :q] = (z2.T @ c).T
    made[q:, q:] = c.T @ c2
    return made


def sums(folded: Sequence[Block], theta: Floats) -> Sums:
    """The sums over all blocks at the nest variances `theta` float64[k] (over sigma^2, outermost first)."""
    return reduce(add, (block_sums(block, theta) for block in folded))


def block_sums(block: Block, theta: Floats) -> Sums:
    """The sums of one block; the terms are named as in the head of this file."""
    if block.depth == 0:
        return Sums(block.n, block.own[None], np.zeros(1))
    inner = _inner(block, theta[-1])
    return inner if block.depth == 1 else inner_and_outer(block, theta, inner)


def _inner(block: Block, theta: float) -> Sums:
    """Only the innermost grouping: ``a = theta / (1 + m theta)``, ``da = 1 / (1 + m theta)^2``."""
    grown = 1.0 + block.size * theta
    gram = np.stack([block.own - _weighted(block, theta / grown), -_weighted(block, 1.0 / grown**2)])
    return Sums(block.n, gram, np.array([np.log(grown).sum(), (block.size / grown).sum()]))


def _weighted(block: Block, weight: Floats) -> Floats:
    scaled = sparse.diags_array(weight) @ block.z
    return cross(scaled.tocsr(), block.c * weight[:, None], block.z, block.c)


def inner_and_outer(block: Block, theta: Floats, inner: Sums) -> Sums:
    """Both groupings; with U_s = sum_j m_j E_j / (1 + m_j theta_e)^2 = -dT/dtheta_e and Q_s = -dS/dtheta_e,

    d gram / d theta_e = d inner + sum_s b_s (R_s'T_s + T_s'R_s),  R_s = U_s - b_s Q_s T_s / 2
    d gram / d theta_s = - sum_s T_s'T_s / (1 + theta_s S_s)^2
    """
    theta_s, theta_e = theta
    stays = int(block.stay[-1]) + 1 if len(block.stay) else 0
    weight = 1.0 / (1.0 + block.size * theta_e)
    thin = block.size * weight**2
    s = np.bincount(block.stay, block.size * weight, stays)
    q = np.bincount(block.stay, block.size * thin, stays)
    b = theta_s / (1.0 + theta_s * s)
    plain, thinned = grouping(block.stay, weight, stays), grouping(block.stay, thin, stays)
    tz, tc = (plain @ block.z).tocsr(), plain @ block.c
    rz = (sparse.diags_array(b) @ (thinned @ block.z - sparse.diags_array(b * q / 2) @ tz)).tocsr()
    rc = b[:, None] * (thinned @ block.c - (b * q / 2)[:, None] * tc)
    by_b = cross((sparse.diags_array(b) @ tz).tocsr(), tc * b[:, None], tz, tc)
    db = (1.0 / (1.0 + theta_s * s)) ** 2
    by_db = cross((sparse.diags_array(db) @ tz).tocsr(), tc * db[:, None], tz, tc)
    turn = cross(rz, rc, tz, tc)
    gram = np.stack([inner.gram[0] - by_b, -by_db, inner.gram[1] + turn + turn.T])
    logdet = np.array(
        [
            inner.logdet[0] + np.log1p(theta_s * s).sum(),
            (s / (1.0 + theta_s * s)).sum(),
            inner.logdet[1] - (b * q).sum(),
        ]
    )
    return Sums(inner.n, gram, logdet)


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
    stays = int(block.stay[-1]) + 1 if len(block.stay) else 0
    by_stay = np.bincount(block.stay, pressed, stays)[block.stay]
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
    stays = int(block.stay[-1]) + 1 if len(block.stay) else 0
    s = np.bincount(block.stay, block.size * weight, stays)
    b = theta[0] / (1.0 + theta[0] * s)
    t = np.bincount(block.stay, pressed, stays)
    return np.asarray(pressed - (b * t)[block.stay] * block.size * weight)
