"""The REML criterion and its exact gradient from the sums, by one dense factor.

With Lambda = diag(tau) over the effects and K = I + Lambda ZZ Lambda,

    criterion = -2 log REML = log|D| + log|K| + log|X'V^-1 X| + (n - p) (1 + log(2 pi r^2 / (n - p)))

where r^2 = min over (u, beta) of the penalised residual sum of squares and sigma^2 = r^2 / (n - p).
The gradient is an adjoint: A = d criterion / d gram is one matrix, the posterior covariance of the effects
over sigma^2 plus v v' / sigma^2 with v = (-u, -beta, 1).

Source: Bates, Mächler, Bolker & Walker 2015, J Stat Softw 67(1), section 3 (profiled REML criterion);
Henderson 1950 (mixed-model equations).
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_solve, cholesky, lapack

from browline.variation.design import Floats
from browline.variation.sums import Sums


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


def factor_gradient(at: Solved, tau: Floats, of: Floats) -> Floats:
    """d criterion / d tau of the crossed factors: ``(2 / tau_k) (q_k - tr C_kk - |b_k|^2 / sigma^2)``.

    With b = u / tau and C the posterior covariance of b over sigma^2; 0 where tau is 0. `tau` float64[f],
    `of` int[q] the factor of each effect.
    """
    scale, divisor = np.where(at.scale > 0, at.scale, 1.0), np.where(tau > 0, tau, 1.0)
    spread = np.diag(at.inverse) + np.einsum("ij,jk,ik->i", at.shift, at.fixed, at.shift) / scale**2
    inside = 1.0 - spread - (at.u / scale / at.sigma) ** 2
    return np.asarray(2.0 / divisor * np.bincount(of, inside, len(tau)))


def pull_from_zero(sums: Sums, at: Solved, of: Floats, factors: int) -> Floats:
    """d criterion / d theta_k of the crossed factors, also where theta_k is 0: ``tr Z'PZ - |Z'Py|^2 / sigma^2``.

    Negative where a factor at 0 ought to leave it.
    """
    q = len(at.u)
    covariance = at.covariance()
    gram = sums.gram[0]
    explained = np.einsum("ij,jk,ik->i", gram[:q, :-1], covariance, gram[:q, :-1])
    score = gram[:q] @ at.residual_direction()
    inside = np.diag(gram)[:q] - explained - (score / at.sigma) ** 2
    return np.bincount(of, inside, factors)
