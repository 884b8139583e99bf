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
from browline.variation.stays.residuals import Left, left

FREEDOMS = (3.0, 4.0, 6.0, 10.0, 30.0)
FEWEST_AT_SITE = 200
ROUNDS = 2


def typical(fit: Fit, first: Left) -> Solved:
    """The equations solved with every reading counted by how usual it is; spreads as fitted."""
    columns, found, now = fit.model.columns, fit.at, first
    roots = fit.model.random.roots(fit.rho)
    for turn in range(ROUNDS):
        doubt = columns.arrays.doubt / weights(columns.arrays.site, now.surprise())
        doubted = type(columns)(columns.arrays._replace(doubt=doubt), columns.factors, columns.order)
        merged = sums(doubted, fit.course)
        for name, root in roots.items():
            merged = merged.turned(columns.slices()[name], root)
        found = solved(merged, fit.at.sd)
        if turn + 1 < ROUNDS:
            u = found.u.copy()
            for name, root in roots.items():
                u[columns.slices()[name]] = root @ u[columns.slices()[name]]
            now = left(columns, fit.course, u, found.beta)
    return found


def weights(site: "np.typing.NDArray[np.int64]", surprise: Floats) -> Floats:
    """How much each reading counts, float64[n] with mean 1 over each site."""
    made = np.ones(len(site))
    for s in np.unique(site):
        own = np.flatnonzero(site == s)
        if len(own) >= FEWEST_AT_SITE:
            nu = freedom(surprise[own])
            w = (nu + 1) / (nu + (surprise[own] / _scale(surprise[own], nu)) ** 2)
            made[own] = w / w.mean()
    return made


def freedom(surprise: Floats) -> float:
    """The freedom of `FREEDOMS` under which these standardised readings are likeliest."""
    return max(FREEDOMS, key=lambda nu: _log_likelihood(surprise, nu))


def _log_likelihood(surprise: Floats, nu: float) -> float:
    from scipy.special import gammaln

    scale = _scale(surprise, nu)
    log = gammaln((nu + 1) / 2) - gammaln(nu / 2) - 0.5 * np.log(nu * np.pi) - np.log(scale)
    return float((log - (nu + 1) / 2 * np.log1p((surprise / scale) ** 2 / nu)).sum())


def _scale(surprise: Floats, nu: float) -> float:
    """The scale of a t law with `nu` degrees whose middle half is as wide as these."""
    from scipy.stats import t

    low, high = np.quantile(surprise, [0.25, 0.75])
    return max(float((high - low) / (2 * t.ppf(0.75, nu))), 1e-9)
