"""How much more there is to doubt where a stay's readings move together in ways the model does not have.

A fever is not a Gaussian course, and an error may run through a round. With s_e = B_e'V_e^-1 e, the scores of one
stay, and C the posterior covariance,

    C_robust = C ( sum_e s_e s_e' ) C + C G^-1 C

which is C again where the model is right: ``C = C B'V^-1B C + C G^-1 C``. Where it is not, stays still are
unrelated and their scores say how much more there is to doubt. Intervals are widened by the ratio, never narrowed.

Source: Liang & Zeger 1986, Biometrika 73:13-22 (the middle part, by clusters; from memory).
"""

from dataclasses import dataclass

import numpy as np
from scipy import sparse

from browline.variation.arrays import Floats
from browline.variation.fit import Fit
from browline.variation.stays.residuals import Residuals


@dataclass(frozen=True)
class Clusters:
    """What is needed to doubt any contrast: C and the stays' scores, ``middle`` = sum s s' float64[q + p, q + p]."""

    covariance: Floats
    middle: Floats
    prior: Floats

    def widening(self, take: Floats) -> Floats:
        """How many times as wide the interval of each contrast ``take [u; beta]`` is, float64[m], at least 1."""
        reach = take @ self.covariance
        return self.widened(reach, (reach * take).sum(1))

    def widened(self, reach: Floats, variance: Floats) -> Floats:
        """The same from ``reach`` = take C float64[m, q + p] and the contrasts' own variances float64[m]."""
        robust = ((reach @ self.middle) * reach).sum(1) + (reach**2 * self.prior).sum(1)
        ratio = np.divide(robust, variance, out=np.ones(len(variance)), where=variance > 0)
        return np.asarray(np.sqrt(np.maximum(ratio, 1.0)))


def clusters(fit: Fit, residuals: Residuals) -> Clusters:
    """The stays' scores of this fit."""
    scores = _scores(fit, residuals)
    sd = fit.solution.sd
    prior = np.zeros(len(fit.solution.covariance))
    prior[: len(sd)] = np.divide(1.0, sd**2, out=np.zeros_like(sd), where=sd > 0)
    return Clusters(fit.solution.covariance, np.asarray((scores.T @ scores).toarray()), prior)


def _scores(fit: Fit, residuals: Residuals) -> sparse.csr_array:
    """One row a stay, one column an effect or a fixed column, effects of chained factors as independent parts."""
    columns, c = fit.model.columns, fit.model.columns.arrays
    stay = np.repeat(np.arange(columns.stays), np.diff(c.first))
    blocks = []
    roots = fit.model.random.roots(fit.rho)
    for factor in fit.model.random.factors:
        codes = factor.codes[columns.order]
        charted = codes >= 0
        value = residuals.weighted[charted]
        if factor.value is not None:
            value = value * factor.value[columns.order][charted]
        block = sparse.csr_array(
            (value, (stay[charted], codes[charted])), shape=(columns.stays, factor.levels)
        )
        root = roots.get(factor.name)
        blocks.append(block if root is None else sparse.csr_array(block @ sparse.csr_array(root)))
    rise = np.where(c.scaled, fit.course.slope[c.site][:, None], 1.0)
    fixed = np.add.reduceat(c.x * rise * residuals.weighted[:, None], c.first[:-1], axis=0)
    return sparse.csr_array(sparse.hstack([*blocks, sparse.csr_array(fixed)], format="csr"))
