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
from scipy.linalg import cho_solve, cholesky, lapack

from browline.variation.design import Codes, Floats
from browline.variation.sums import Directions, Sums


@dataclass(frozen=True)
class Solved:
    """The mixed-model equations solved at one set of relative standard deviations.

    - `criterion`: -2 log REML. `sigma`: residual sd. `u` float64[q], `beta` float64[p]: effects.
    - `inverse` float64[q, q]: K^-1; `shift` float64[q, p]: d u / d beta; `fixed` float64[p, p]: (X'V^-1 X)^-1.
    """

    criterion: float
    sigma: float
    u: Floats
    beta: Floats
    scale: Floats
    inverse: Floats
    shift: Floats
    fixed: Floats

    def covariance(self) -> Floats:
        """Posterior covariance of (u, beta) over sigma^2, float64[q + p, q + p]."""
        q, p = self.shift.shape
        both = np.vstack([self.shift, np.eye(p)])
        made = both @ self.fixed @ both.T
        made[:q, :q] += self.scale[:, None] * self.inverse * self.scale
        return made

    def residual_direction(self) -> Floats:
        """v = (-u, -beta, 1): B v is the reading less everything estimated."""
        return np.concatenate([-self.u, -self.beta, [1.0]])


def solved(sums: Sums, scale: Floats) -> Solved:
    """Solve at `scale` float64[q], the relative sd of every effect.

    Raises numpy.linalg.LinAlgError where the fixed columns are not independent.
    """
    gram, q = sums.gram[0], len(scale)
    p = gram.shape[0] - q - 1
    factor = cholesky(np.eye(q) + scale[:, None] * gram[:q, :q] * scale, lower=True, check_finite=False)
    inverse = _inverse(factor)
    right = scale[:, None] * gram[:q, q:]
    pulled = scale[:, None] * cho_solve((factor, True), right, check_finite=False)
    left = gram[q:, q:] - gram[:q, q:].T @ pulled
    root = np.linalg.cholesky(left[:p, :p])
    fixed = np.linalg.inv(left[:p, :p])
    beta = fixed @ left[:p, p]
    squares = float(left[p, p] - left[p, :p] @ beta)
    if not squares > 0:
        raise np.linalg.LinAlgError("the readings have no spread left")
    freedom = sums.n - p
    logs = 2 * np.log(np.diag(factor)).sum() + 2 * np.log(np.diag(root)).sum() + sums.logdet[0]
    criterion = float(logs + freedom * (1 + np.log(2 * np.pi * squares / freedom)))
    u = pulled[:, p] - pulled[:, :p] @ beta
    return Solved(
        criterion, float(np.sqrt(squares / freedom)), u, beta, scale, inverse, -pulled[:, :p], fixed
    )


def _inverse(factor: Floats) -> Floats:
    """The whole symmetric inverse from a lower Cholesky factor."""
    if not len(factor):
        return factor
    lower, _ = lapack.dpotri(factor, lower=1)
    return np.asarray(np.tril(lower) + np.tril(lower, -1).T)


def nest_gradient(sums: Sums, at: Solved) -> Floats:
    """d criterion / d theta of the nest variances: ``d log|D| + <A, d gram>``, float64[k]."""
    v = at.residual_direction()
    w = len(v) - 1
    covariance = at.covariance()
    slopes = [np.vdot(covariance, d[:w, :w]) + v @ d @ v / at.sigma**2 for d in sums.gram[1:]]
    return sums.logdet[1:] + np.array(slopes)


def factor_gradient(sums: Sums, at: Solved, of: Codes, factors: int) -> Floats:
    """d criterion / d theta of the crossed factors, ``tr Z_k'PZ_k - |Z_k'Py|^2 / sigma^2``, float64[factors].

    The trace is ``(q_k - tr C_kk / theta_k) / theta_k`` with C the posterior covariance over sigma^2; next to
    0, where that cancels, it is formed outright. `of` int[q]: the factor of each effect.
    """
    explained = np.zeros(len(of))
    near_zero = at.scale < 1e-3
    if not near_zero.all():
        scale = np.where(near_zero, 1.0, at.scale)
        spread = np.diag(at.inverse) + ((at.shift @ at.fixed) * at.shift).sum(1) / scale**2
        explained = (1.0 - spread) / scale**2
    if near_zero.any():
        explained = np.where(near_zero, _trace_terms(sums, at), explained)
    score = effect_scores(sums, at) / at.sigma
    return np.bincount(of, explained - score**2, factors)


def effect_scores(sums: Sums, at: Solved) -> Floats:
    """Z'Py, float64[q]."""
    return np.asarray(sums.gram[0][: len(at.u)] @ at.residual_direction())


def _trace_terms(sums: Sums, at: Solved) -> Floats:
    """The diagonal of Z'PZ, float64[q]."""
    q = len(at.u)
    rows = sums.gram[0][:q, :-1]
    return np.asarray(np.diag(sums.gram[0])[:q] - ((rows @ at.covariance()) * rows).sum(1))


def average_information(sums: Sums, at: Solved, of: Codes, factors: int, nest: Directions) -> Floats:
    """The average of observed and expected curvature of the criterion by all variances, nest first.

    ``H_kl = f_k' P f_l / sigma^2 - (y'P f_k)(y'P f_l) / (sigma^4 (n - p))`` with f_k = V_k P y.

    Source: Gilmour, Thompson & Cullis 1995, Biometrics 51(4):1440 (from memory), with sigma^2 profiled out.
    """
    q, w = len(of), sums.gram.shape[1]
    into = np.zeros((q, factors))
    into[np.arange(q), of] = effect_scores(sums, at)
    against = np.hstack([nest.against, sums.gram[0][:, :q] @ into])
    mixed = nest.against[:q].T @ into
    each = np.block([[nest.each, mixed], [mixed.T, into.T @ sums.gram[0][:q, :q] @ into]])
    left = each - against[: w - 1].T @ at.covariance() @ against[: w - 1]
    along = at.residual_direction() @ against
    freedom = sums.n - (w - 1 - q)
    return np.asarray(left / at.sigma**2 - np.outer(along, along) / at.sigma**4 / freedom)
