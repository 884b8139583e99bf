"""The sums with some effects integrated out at their prior sds: the same kind of sums over fewer effects.

With o the effects to go, r those that stay and [X y], S = diag(sd_o), K = I + S zz_oo S,

    A_rr - A_ro S K^-1 S A_or for every block A of the sums,   log|V| + log|K|

which is the likelihood of the rest with u_o ~ N(0, S^2) integrated out, exactly. Fixed columns go the same way
with a flat prior, and leave a quadratic in the effects: ``-2 log L(u) = u' P u - 2 h' u + base``.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_solve

from browline.variation.arrays import Floats
from browline.variation.effects.solved import cholesky_root
from browline.variation.stays.cross_products import Sums


def schur_complement(sums: Sums, away: NDArray[np.bool_], sd: Floats) -> Sums:
    """The sums without the effects `away` bool[q], integrated out at prior sds `sd` float64[q] (theirs are used)."""
    if not away.any():
        return sums
    stay, s = ~away, sd[away]
    root, log_k = cholesky_root(s[:, None] * sums.zz[np.ix_(away, away)] * s)
    right = s[:, None] * np.hstack([sums.zz[np.ix_(away, stay)], sums.zc[away]])
    k = int(stay.sum())
    taken = right.T @ cho_solve((root, True), right, check_finite=False)
    return Sums(
        n=sums.n,
        zz=sums.zz[np.ix_(stay, stay)] - taken[:k, :k],
        zc=sums.zc[stay] - taken[:k, k:],
        cc=sums.cc - taken[k:, k:],
        logdet=sums.logdet + log_k,
    )


@dataclass(frozen=True)
class Quadratic:
    """``-2 log L(u) = u' precision u - 2 score' u + base``: precision float64[k, k] 1/°C^2, score float64[k] 1/°C."""

    precision: Floats
    score: Floats
    base: float


def quadratic(sums: Sums) -> Quadratic:
    """The likelihood of the effects alone, the fixed columns integrated out with a flat prior.

    Raises numpy.linalg.LinAlgError where the fixed columns are not independent.
    """
    p = sums.cc.shape[1] - 1
    xx = np.linalg.cholesky(sums.cc[:p, :p])
    x = np.linalg.solve(xx, np.hstack([sums.zc[:, :p].T, sums.cc[:p, p:]]))
    k = len(sums.zz)
    precision = sums.zz - x[:, :k].T @ x[:, :k]
    squares = float(sums.cc[p, p] - x[:, k] @ x[:, k])
    log_x = 2 * float(np.log(np.diag(xx)).sum())
    base = sums.logdet + log_x + squares + (sums.n - p) * float(np.log(2 * np.pi))
    return Quadratic((precision + precision.T) / 2, sums.zc[:, p] - x[:, :k].T @ x[:, k], base)
