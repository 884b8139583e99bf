"""-2 log REML over the parameters: its value by one pass over the readings, its gradient and information by another.

    d criterion / d theta_k = tr(P V_k) - y'P V_k P y,      H_kl = y'P V_k P V_l P y

the average information, twice over for a slope's part in the mean: ``2 g'P g``, g = dX/dslope beta.

Source: Gilmour, Thompson & Cullis 1995, Biometrics 51(4):1440 (average information; from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.effects.solved import Solved, solved
from browline.variation.parameters import Parameters
from browline.variation.stays.adjoint import Adjoint, adjoint
from browline.variation.stays.columns import Columns
from browline.variation.stays.cross_products import Sums
from browline.variation.stays.passes import sums


@dataclass(frozen=True)
class Point:
    """At `theta`: the stays' sums and the equations solved, effects of autocorrelated factors as ``u = L w``."""

    theta: Floats
    sums: Sums
    solution: Solved


class Likelihood:
    """The criterion of these columns. `roots`: factor -> L, for factors whose effects are correlated a priori."""

    def __init__(
        self, columns: Columns, parameters: Parameters, roots: Mapping[str, Floats] | None = None
    ) -> None:
        self.columns, self.parameters, self.passes = columns, parameters, 0
        slices = columns.slices()
        self.roots = tuple((slices[name], root) for name, root in (roots or {}).items())
        levels = [part.stop - part.start for part in slices.values()]
        self.factor_index: Codes = np.repeat(np.arange(len(levels)), levels).astype(np.int64)

    def evaluate(self, theta: Floats) -> Point:
        """One pass over the readings, one dense factor."""
        self.passes += 1
        course, sds = self.parameters.spreads(theta)
        merged = sums(self.columns, course)
        for part, root in self.roots:
            merged = merged.reparametrised(part, root)
        return Point(theta, merged, solved(merged, sds[self.factor_index]))

    def gradient_and_information(self, point: Point) -> tuple[Floats, Floats]:
        """Slopes float64[count] and curvature float64[count, count] by the moved numbers: one pass more."""
        self.passes += 1
        course, _ = self.parameters.spreads(point.theta)
        plain = self._original_scale(point.solution)
        stays = adjoint(self.columns, course, plain.covariance, plain.direction())
        stay_slopes = stays.slopes
        factor_part = factor_slopes(point.sums, point.solution, self.factor_index, self.parameters.factors)
        slopes = np.concatenate([stay_slopes, factor_part])
        return self.parameters.gathered(slopes), self.parameters.folded(
            self._information(point, plain, stays)
        )

    def score_outer_product(self, point: Point) -> Floats:
        """How much the stays' own slopes scatter, float64[count, count]: ``sum_e s_e s_e'``, one pass more."""
        self.passes += 1
        course, _ = self.parameters.spreads(point.theta)
        plain = self._original_scale(point.solution)
        scores = adjoint(self.columns, course, plain.covariance, plain.direction()).scores
        return self.parameters.folded(np.pad(scores, (0, self.parameters.factors)))

    def _original_scale(self, solution: Solved) -> Solved:
        """The solution with the effects themselves in place of the independent parts of chained ones."""
        if not self.roots:
            return solution
        u, covariance = solution.u.copy(), solution.covariance.copy()
        for part, root in self.roots:
            u[part] = root @ u[part]
            covariance[part] = root @ covariance[part]
            covariance[:, part] = covariance[:, part] @ root.T
        return Solved(
            criterion=solution.criterion, u=u, beta=solution.beta, sd=solution.sd, covariance=covariance
        )

    def _information(self, point: Point, plain: Solved, stays: Adjoint) -> Floats:
        """The average information by place."""
        q, p = len(plain.u), len(plain.beta)
        effect_columns = np.zeros((q + p, self.parameters.factors))
        effect_columns[np.arange(q), self.factor_index] = effect_scores(point.sums, point.solution)
        products = np.vstack(
            [point.sums.zz @ effect_columns[:q], point.sums.zc[:, :-1].T @ effect_columns[:q]]
        )
        cross = stays.cross[:-1].copy()
        for part, root in self.roots:
            cross[part] = root.T @ cross[part]
        mixed = cross.T @ effect_columns
        inner = np.block([[stays.inner, mixed], [mixed.T, effect_columns.T @ products]])
        both = np.hstack([cross, products])
        reduced = inner - both.T @ point.solution.covariance @ both
        return self._by_place(reduced)

    def _by_place(self, full: Floats) -> Floats:
        """The slopes' part in the mean added to their part in V, and its rows taken out."""
        places, sites = self.parameters.stay_places, self.parameters.sites
        means = slice(places, places + sites)
        keep = np.r_[0:places, places + sites : len(full)]
        folded = full[np.ix_(keep, keep)]
        slope = slice(places - sites, places)
        folded[slope, slope] += 2 * full[means, means]
        return np.asarray(folded)


def effect_scores(sums: Sums, solution: Solved) -> Floats:
    """Z'Py, float64[q]."""
    return np.asarray(sums.zc[:, -1] - sums.zz @ solution.u - sums.zc[:, :-1] @ solution.beta)


def factor_slopes(sums: Sums, solution: Solved, factor_index: Codes, factors: int) -> Floats:
    """d criterion / d variance of each factor, ``tr Z_k'PZ_k - |Z_k'Py|^2``, float64[factors].

    The diagonal of Z'PZ is ``(1 - C_kk / sd^2) / sd^2``; next to 0, where that cancels, it is formed outright.
    """
    q = len(factor_index)
    variance = solution.sd**2
    near_zero = variance * np.diag(sums.zz) < 1e-6
    safe = np.where(near_zero, 1.0, variance)
    trace = (1.0 - np.diag(solution.covariance)[:q] / safe) / safe
    if near_zero.any():
        rows = np.hstack([sums.zz[near_zero], sums.zc[near_zero, :-1]])
        trace[near_zero] = np.diag(sums.zz)[near_zero] - ((rows @ solution.covariance) * rows).sum(1)
    return np.bincount(factor_index, trace - effect_scores(sums, solution) ** 2, factors).astype(float)
