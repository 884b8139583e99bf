"""The REML criterion and its exact gradient from the sums, by one dense factor.

With Lambda = diag(tau) over the effects and K = I + Lambda ZZ Lambda,

    criterion = -2 log REML = log|D| + log|K| + log|X'V^-1 X| + (n - p) (1 + log(2 pi r^2 / (n - p)))

where r^2 = min over (u, beta) of the penalised residual sum of squares and sigma^2 = r^2 / (n - p).
The gradient is an adjoint: A = d criterion / d gram is one matrix, the posterior covariance of the effects
over sigma^2 plus v v' / sigma^2 with v = (-u, -beta, 1).

Steps use the average information, of the same sums and one column more per variance.

Source: Bates, Mächler, Bolker & Walker 2015, J Stat Softw 67(1), section 3 (profiled REML criterion);
Henderson 1950 (mixed-model equations).
"""

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.linalg import cho_solve, cholesky, lapack

from browline.variation.design import Codes, Floats
from browline.variation.sums import Directions, Sums


@dataclass(frozen=True)
class Solved:
    """The mixed-model equations solved at one set of relative standard deviations.

    - `criterion`: -2 log REML. `sigma`: residual sd. `u` float64[q], `beta` float64[p]: effects.
    - `scale` float64[q]: the relative sd of every effect.
    - `covariance` float64[q + p, q + p]: posterior covariance of (u, beta) over sigma^2.
    """

    criterion: float
    sigma: float
    u: Floats
    beta: Floats
    scale: Floats
    covariance: Floats

    def residual_direction(self) -> Floats:
        """v = (-u, -beta, 1): B v is the reading less everything estimated."""
        return np.concatenate([-self.u, -self.beta, [1.0]])

    def beta_sd(self) -> Floats:
        """Standard errors of beta."""
        return np.asarray(np.sqrt(np.diag(self.covariance)[len(self.u) :]) * self.sigma)


def solved(sums: Sums, scale: Floats) -> Solved:
    """Solve at `scale` float64[q], the relative sd of every effect.

    Raises numpy.linalg.LinAlgError where the fixed columns are not independent or nothing is left over.
    """
    p = sums.cc.shape[1] - 1
    stretch = sparse.diags_array(scale)
    root, log_k = _cholesky((stretch @ sums.zz[0] @ stretch).toarray() + np.eye(len(scale)))
    right = scale[:, None] * sums.zc[0]
    pulled = scale[:, None] * (cho_solve((root, True), right, check_finite=False) if len(scale) else right)
    left = sums.cc[0] - sums.zc[0].T @ pulled
    log_x = 2 * float(np.log(np.diag(np.linalg.cholesky(left[:p, :p]))).sum())
    fixed = np.linalg.inv(left[:p, :p])
    beta = fixed @ left[:p, p]
    squares, freedom = float(left[p, p] - left[p, :p] @ beta), sums.n - p
    if not (squares > 1e-12 * max(float(sums.cc[0][p, p]), 1e-300) and freedom > 0):
        raise np.linalg.LinAlgError("nothing is left over to measure the spread by")
    criterion = float(sums.logdet[0]) + log_k + log_x + freedom * (1 + np.log(2 * np.pi * squares / freedom))
    u = pulled[:, p] - pulled[:, :p] @ beta
    covariance = _covariance(root, scale, -pulled[:, :p], fixed)
    return Solved(float(criterion), float(np.sqrt(squares / freedom)), u, beta, scale, covariance)


def _cholesky(k: Floats) -> tuple[Floats, float]:
    """Lower factor of a symmetric matrix, in place, and its log determinant."""
    root = cholesky(k.T, lower=True, overwrite_a=True, check_finite=False) if len(k) else k
    return root, 2 * float(np.log(np.diag(root)).sum())


def _covariance(root: Floats, scale: Floats, shift: Floats, fixed: Floats) -> Floats:
    """``[[Lambda K^-1 Lambda, 0], [0, 0]] + F (X'V^-1 X)^-1 F'``, F = [shift; I], shift = d u / d beta."""
    both = np.vstack([shift, np.eye(len(fixed))])
    made = both @ fixed @ both.T
    q = len(scale)
    if q:
        lower, _ = lapack.dpotri(root, lower=1, overwrite_c=1)
        lower = np.tril(lower)
        lower[np.diag_indices(q)] /= 2
        made[:q, :q] += scale[:, None] * (lower + lower.T) * scale
    return np.asarray(made)


def nest_gradient(sums: Sums, at: Solved) -> Floats:
    """d criterion / d theta of the nest variances: ``d log|D| + <A, d gram>``, float64[k]."""
    v, q = at.residual_direction(), len(at.u)
    slopes = []
    for k in range(1, len(sums.zz)):
        entries = sums.zz[k].tocoo()
        trace = float(at.covariance[entries.coords] @ entries.data)
        trace += 2 * float(np.vdot(at.covariance[:q, q:], sums.zc[k][:, :-1]))
        trace += float(np.vdot(at.covariance[q:, q:], sums.cc[k][:-1, :-1]))
        slopes.append(trace + float(v @ sums.times(k, v)) / at.sigma**2)
    return np.asarray(sums.logdet[1:] + np.array(slopes))


def factor_gradient(sums: Sums, at: Solved, of: Codes, factors: int) -> Floats:
    """d criterion / d theta of the crossed factors, ``tr Z_k'PZ_k - |Z_k'Py|^2 / sigma^2``, float64[factors].

    The trace is ``(q_k - tr C_kk / theta_k) / theta_k`` with C the posterior covariance over sigma^2; next to
    0, where that cancels, it is formed outright. `of` int[q]: the factor of each effect.
    """
    near_zero = at.scale < 1e-3
    theta = np.where(near_zero, 1.0, at.scale) ** 2
    trace = (1.0 - np.diag(at.covariance)[: len(of)] / theta) / theta
    if near_zero.any():
        trace = np.where(near_zero, _trace_terms(sums, at), trace)
    return np.bincount(of, trace - (effect_scores(sums, at) / at.sigma) ** 2, factors).astype(np.float64)


def effect_scores(sums: Sums, at: Solved) -> Floats:
    """Z'Py, float64[q]."""
    return sums.times(0, at.residual_direction())[: len(at.u)]


def _trace_terms(sums: Sums, at: Solved) -> Floats:
    """The diagonal of Z'PZ, float64[q]."""
    rows = np.hstack([sums.zz[0].toarray(), sums.zc[0][:, :-1]])
    return np.asarray(sums.zz[0].diagonal() - ((rows @ at.covariance) * rows).sum(1))


def average_information(sums: Sums, at: Solved, of: Codes, factors: int, nest: Directions) -> Floats:
    """The average of observed and expected curvature of the criterion by all variances, nest first.

    ``H_kl = f_k' P f_l / sigma^2 - (y'P f_k)(y'P f_l) / (sigma^4 (n - p))`` with f_k = V_k P y.

    Source: Gilmour, Thompson & Cullis 1995, Biometrics 51(4):1440 (from memory), with sigma^2 profiled out.
    """
    q, p = len(of), len(at.beta)
    into = np.zeros((q + p + 1, factors))
    into[np.arange(q), of] = effect_scores(sums, at)
    spread = sums.times(0, into)
    against = np.hstack([nest.against, spread])
    mixed = nest.against.T @ into
    each = np.block([[nest.each, mixed], [mixed.T, into.T @ spread]])
    left = each - against[:-1].T @ at.covariance @ against[:-1]
    along = at.residual_direction() @ against
    return np.asarray(left / at.sigma**2 - np.outer(along, along) / at.sigma**4 / (sums.n - p))
