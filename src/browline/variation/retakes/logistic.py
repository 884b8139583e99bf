"""Logistic regression by Newton steps, halved until the likelihood rises."""

import numpy as np

from browline.variation.arrays import Floats

SETTLED = 1e-9


def logistic(x: Floats, y: Floats, steps: int = 50) -> Floats | None:
    """Fitted probabilities ``1 / (1 + exp(-x beta))`` at the likeliest beta, float64[n].

    `x` float64[n, k], `y` float64[n] of 0 and 1, both present. None where the steps do not settle, as where the
    columns part the outcomes perfectly. Source: McCullagh & Nelder 1989, section 4.4 (from memory).
    """
    basis = _independent(x)
    beta = basis.T @ np.full(len(y), np.log(y.mean() / (1 - y.mean())))
    for _ in range(steps):
        p = 1 / (1 + np.exp(-basis @ beta))
        information = (basis * (p * (1 - p))[:, None]).T @ basis
        slope = basis.T @ (y - p)
        step = np.linalg.lstsq(information, slope, rcond=None)[0]
        if float(slope @ step) < SETTLED:
            return np.asarray(p)
        beta = _higher(basis, y, beta, step)
    return None


def _independent(x: Floats) -> Floats:
    """An orthonormal basis of the columns of x that are not sums of the others."""
    basis, sizes, _ = np.linalg.svd(x, full_matrices=False)
    return np.asarray(basis[:, sizes > sizes[0] * 1e-9])


def _higher(x: Floats, y: Floats, beta: Floats, step: Floats) -> Floats:
    """The first of beta + step, + step / 2, ... whose log-likelihood is no lower."""
    before = _log_likelihood(x @ beta, y)
    for halving in range(20):
        tried = beta + step * 0.5**halving
        if _log_likelihood(x @ tried, y) >= before:
            return np.asarray(tried)
    return beta


def _log_likelihood(eta: Floats, y: Floats) -> float:
    return float(y @ eta - np.logaddexp(0.0, eta).sum())
