"""What a typical reading says, beside the average one: the fit once more with long tails and low faults let pass.

Readings far from what their stay says are taken as drawn from a t law of their site, and count by

    w_i = (nu_s + 1) / (nu_s + s_i^2),   s_i = (V^-1 e)_i / sqrt (V^-1)_ii

An instrument whose average is off and whose typical reading is not is used badly now and then rather than faulty.

Source: Lange, Little & Taylor 1989, J Am Stat Assoc 84:881 (weights of the t law; from memory).
"""

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.solved import Solved, solved
from browline.variation.fit import Fit
from browline.variation.stays.passes import sums
from browline.variation.stays.residuals import Residuals, residuals

FREEDOMS = (3.0, 4.0, 6.0, 10.0, 30.0)
FEWEST_AT_SITE = 200
ROUNDS = 2


def robust(fit: Fit, first: Residuals) -> Solved:
    """The equations solved with every reading counted by how usual it is; spreads as fitted."""
    columns, solution, now = fit.model.columns, fit.solution, first
    roots = fit.model.random.roots(fit.rho)
    for turn in range(ROUNDS):
        variance_weight = columns.arrays.variance_weight / weights(columns.arrays.site, now.standardised())
        reweighted = type(columns)(
            columns.arrays._replace(variance_weight=variance_weight), columns.factors, columns.order
        )
        merged = sums(reweighted, fit.course)
        for name, root in roots.items():
            merged = merged.reparametrised(columns.slices()[name], root)
        solution = solved(merged, fit.solution.sd)
        if turn + 1 < ROUNDS:
            u = solution.u.copy()
            for name, root in roots.items():
                u[columns.slices()[name]] = root @ u[columns.slices()[name]]
            now = residuals(columns, fit.course, u, solution.beta)
    return solution


def weights(site: "np.typing.NDArray[np.int64]", standardised: Floats) -> Floats:
    """How much each reading counts, float64[n] with mean 1 over each site."""
    weights = np.ones(len(site))
    for s in np.unique(site):
        rows = np.flatnonzero(site == s)
        if len(rows) >= FEWEST_AT_SITE:
            nu = freedom(standardised[rows])
            w = (nu + 1) / (nu + (standardised[rows] / _scale(standardised[rows], nu)) ** 2)
            weights[rows] = w / w.mean()
    return weights


def freedom(standardised: Floats) -> float:
    """The freedom of `FREEDOMS` under which these standardised readings are likeliest."""
    return max(FREEDOMS, key=lambda nu: _log_likelihood(standardised, nu))


def _log_likelihood(standardised: Floats, nu: float) -> float:
    from scipy.special import gammaln

    scale = _scale(standardised, nu)
    log = gammaln((nu + 1) / 2) - gammaln(nu / 2) - 0.5 * np.log(nu * np.pi) - np.log(scale)
    return float((log - (nu + 1) / 2 * np.log1p((standardised / scale) ** 2 / nu)).sum())


def _scale(standardised: Floats, nu: float) -> float:
    """The scale of a t law with `nu` degrees whose middle half is as wide as these."""
    from scipy.stats import t

    low, high = np.quantile(standardised, [0.25, 0.75])
    return max(float((high - low) / (2 * t.ppf(0.75, nu))), 1e-9)
