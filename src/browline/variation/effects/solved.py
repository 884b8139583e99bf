"""The mixed-model equations at fixed spreads: effects, fixed columns, their covariance, and -2 log REML.

With S = diag(sd) over the effects, ``u ~ N(0, S^2)``, and the sums zz, zc, cc of [Z X y] by V^-1,

    K = I + S zz S,   N = cc - zc'S K^-1 S zc
    beta = N_xx^-1 N_xy,   u = S K^-1 S (zc_y - zc_x beta)
    -2 log REML = log|V| + log|K| + log|N_xx| + N_yy - N_yx beta + (n - p) log 2 pi

Source: Henderson 1950 (mixed-model equations); Harville 1977, J Am Stat Assoc 72:320 (REML); both from memory.
"""

from dataclasses import dataclass

import numpy as np
from numba import njit
from scipy.linalg import cho_solve, cholesky, lapack

from browline.variation.arrays import Floats
from browline.variation.stays.cross_products import Sums


@dataclass(frozen=True)
class Solved:
    """The equations solved at one set of spreads.

    - `criterion`: -2 log REML. `u` float64[q], `beta` float64[p], °C: posterior means (beta has a flat prior).
    - `sd` float64[q]: the prior sd of every effect, °C. `covariance` float64[q + p, q + p]: posterior, °C^2.
    """

    criterion: float
    u: Floats
    beta: Floats
    sd: Floats
    covariance: Floats

    def direction(self) -> Floats:
        """v = (-u, -beta, 1): B v is the reading less everything estimated."""
        return np.concatenate([-self.u, -self.beta, [1.0]])


def solved(sums: Sums, sd: Floats) -> Solved:
    """Solve at the prior sds `sd` float64[q] (0 holds an effect at 0).

    Raises numpy.linalg.LinAlgError where the fixed columns are not independent.
    """
    p = sums.cc.shape[1] - 1
    root, log_k = cholesky_root(sd[:, None] * sums.zz * sd)
    right = sd[:, None] * sums.zc
    shrunk = sd[:, None] * (cho_solve((root, True), right, check_finite=False) if len(sd) else right)
    reduced = sums.cc - sums.zc.T @ shrunk
    xx = np.linalg.cholesky(reduced[:p, :p])
    fixed = np.asarray(cho_solve((xx, True), np.eye(p)))
    beta = fixed @ reduced[:p, p]
    squares = float(reduced[p, p] - reduced[p, :p] @ beta)
    log_x = 2 * float(np.log(np.diag(xx)).sum())
    criterion = sums.logdet + log_k + log_x + squares + (sums.n - p) * float(np.log(2 * np.pi))
    u = shrunk[:, p] - shrunk[:, :p] @ beta
    return Solved(
        criterion=criterion, u=u, beta=beta, sd=sd, covariance=_covariance(root, sd, -shrunk[:, :p], fixed)
    )


def criterion(sums: Sums, sd: Floats) -> float:
    """-2 log REML alone, at a third of the cost of `solved`."""
    p = sums.cc.shape[1] - 1
    root, log_k = cholesky_root(sd[:, None] * sums.zz * sd)
    right = sd[:, None] * sums.zc
    half = lapack.dtrtrs(root, right, lower=1)[0] if len(sd) else right
    reduced = sums.cc - half.T @ half
    xx = np.linalg.cholesky(reduced[:p, :p])
    shift = np.linalg.solve(xx, reduced[:p, p])
    log_x = 2 * float(np.log(np.diag(xx)).sum())
    squares = float(reduced[p, p] - shift @ shift)
    return float(sums.logdet + log_k + log_x + squares + (sums.n - p) * np.log(2 * np.pi))


def cholesky_root(k: Floats) -> tuple[Floats, float]:
    """Lower factor of I + k, in place of k, and its log determinant."""
    k[np.diag_indices(len(k))] += 1.0
    root = cholesky(k.T, lower=True, overwrite_a=True, check_finite=False) if len(k) else k
    return root, 2 * float(np.log(np.diag(root)).sum())


def _covariance(root: Floats, sd: Floats, shift: Floats, fixed: Floats) -> Floats:
    """``[[S K^-1 S, 0], [0, 0]] + F N_xx^-1 F'``, F = [shift; I], shift = d u / d beta."""
    both = np.vstack([shift, np.eye(len(fixed))])
    total = both @ fixed @ both.T
    if len(sd):
        lower, _ = lapack.dpotri(root, lower=1, overwrite_c=1)
        _add_scaled(total, lower, sd)
    return np.asarray(total)


@njit(cache=True, nogil=True)
def _add_scaled(total, lower, sd):  # type: ignore[no-untyped-def]
    """Add S M S to the head of `made`, of M only the `lower` half being filled."""
    for j in range(len(sd)):
        for i in range(j, len(sd)):
            v = sd[i] * sd[j] * lower[i, j]
            total[i, j] += v
            if i != j:
                total[j, i] += v
