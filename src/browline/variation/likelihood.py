"""The criterion as a surface over the parameters: its height by one pass, its slopes and curvature by another.

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
    """The surface at `theta`: the stays' sums and the equations solved, effects of chained factors as ``u = L w``."""

    theta: Floats
    sums: Sums
    at: Solved


class Surface:
    """The criterion of these columns. `roots`: factor -> L, for factors whose effects are correlated a priori."""

    def __init__(
        self, columns: Columns, moved: Parameters, roots: Mapping[str, Floats] | None = None
    ) -> None:
        self.columns, self.moved, self.passes = columns, moved, 0
        slices = columns.slices()
        self.roots = tuple((slices[name], root) for name, root in (roots or {}).items())
        levels = [part.stop - part.start for part in slices.values()]
        self.of: Codes = np.repeat(np.arange(len(levels)), levels).astype(np.int64)

    def at(self, theta: Floats) -> Point:
        """One pass over the readings, one dense factor."""
        self.passes += 1
        course, sds = self.moved.spreads(theta)
        merged = sums(self.columns, course)
        for part, root in self.roots:
            merged = merged.turned(part, root)
        return Point(theta, merged, solved(merged, sds[self.of]))

    def bent(self, point: Point) -> tuple[Floats, Floats]:
        """Slopes float64[count] and curvature float64[count, count] by the moved numbers: one pass more."""
        self.passes += 1
        course, _ = self.moved.spreads(point.theta)
        plain = self._turned_back(point.at)
        stays = adjoint(self.columns, course, plain.covariance, plain.direction())
        of_stays = stays.slopes
        of_factors = factor_slopes(point.sums, point.at, self.of, self.moved.factors)
        slopes = np.concatenate([of_stays, of_factors])
        return self.moved.gathered(slopes), self.moved.folded(self._information(point, plain, stays))

    def doubted(self, point: Point) -> Floats:
        """How much the stays' own slopes scatter, float64[count, count]: ``sum_e s_e s_e'``, one pass more."""
        self.passes += 1
        course, _ = self.moved.spreads(point.theta)
        plain = self._turned_back(point.at)
        scores = adjoint(self.columns, course, plain.covariance, plain.direction()).scores
        return self.moved.folded(np.pad(scores, (0, self.moved.factors)))

    def _turned_back(self, at: Solved) -> Solved:
        """The solution with the effects themselves in place of the independent parts of chained ones."""
        if not self.roots:
            return at
        u, covariance = at.u.copy(), at.covariance.copy()
        for part, root in self.roots:
            u[part] = root @ u[part]
            covariance[part] = root @ covariance[part]
            covariance[:, part] = covariance[:, part] @ root.T
        return Solved(criterion=at.criterion, u=u, beta=at.beta, sd=at.sd, covariance=covariance)

    def _information(self, point: Point, plain: Solved, stays: Adjoint) -> Floats:
        """The average information by place."""
        q, p = len(plain.u), len(plain.beta)
        own = np.zeros((q + p, self.moved.factors))
        own[np.arange(q), self.of] = effect_scores(point.sums, point.at)
        spread = np.vstack([point.sums.zz @ own[:q], point.sums.zc[:, :-1].T @ own[:q]])
        against = stays.against[:-1].copy()
        for part, root in self.roots:
            against[part] = root.T @ against[part]
        mixed = against.T @ own
        each = np.block([[stays.each, mixed], [mixed.T, own.T @ spread]])
        both = np.hstack([against, spread])
        left = each - both.T @ point.at.covariance @ both
        return self._by_place(left)

    def _by_place(self, left: Floats) -> Floats:
        """The slopes' part in the mean added to their part in V, and its rows taken out."""
        places, sites = self.moved.stay_places, self.moved.sites
        means = slice(places, places + sites)
        keep = np.r_[0:places, places + sites : len(left)]
        made = left[np.ix_(keep, keep)]
        slope = slice(places - sites, places)
        made[slope, slope] += 2 * left[means, means]
        return np.asarray(made)


def effect_scores(sums: Sums, at: Solved) -> Floats:
    """Z'Py, float64[q]."""
    return np.asarray(sums.zc[:, -1] - sums.zz @ at.u - sums.zc[:, :-1] @ at.beta)


def factor_slopes(sums: Sums, at: Solved, of: Codes, factors: int) -> Floats:
    """d criterion / d variance of each factor, ``tr Z_k'PZ_k - |Z_k'Py|^2``, float64[factors].

    The diagonal of Z'PZ is ``(1 - C_kk / sd^2) / sd^2``; next to 0, where that cancels, it is formed outright.
    """
    q = len(of)
    variance = at.sd**2
    near_zero = variance * np.diag(sums.zz) < 1e-6
    safe = np.where(near_zero, 1.0, variance)
    trace = (1.0 - np.diag(at.covariance)[:q] / safe) / safe
    if near_zero.any():
        rows = np.hstack([sums.zz[near_zero], sums.zc[near_zero, :-1]])
        trace[near_zero] = np.diag(sums.zz)[near_zero] - ((rows @ at.covariance) * rows).sum(1)
    return np.bincount(of, trace - effect_scores(sums, at) ** 2, factors).astype(float)
