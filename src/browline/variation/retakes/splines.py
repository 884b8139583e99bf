"""Natural cubic splines: straight beyond the outermost knots, so that rare values are not bent by few readings."""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats


@dataclass(frozen=True)
class NaturalSpline:
    """Columns ``1, x, d_k(x) - d_{K-1}(x)`` with ``d_k = ((x-t_k)^3_+ - (x-t_K)^3_+) / (t_K - t_k)``.

    `knots` float64[K], rising. Source: Hastie, Tibshirani & Friedman 2009, eq. 5.4-5.5 (from memory).
    """

    knots: Floats

    @classmethod
    def through(cls, values: Floats, shares: Floats) -> "NaturalSpline":
        """A spline with knots at these quantiles of the values, doubled ones taken once."""
        return cls(np.unique(np.quantile(values, shares)))

    def columns(self, x: Floats) -> Floats:
        """The basis at x, float64[n, max(2, K)], in units of the knots' span."""
        t = self.knots
        span = max(float(t[-1] - t[0]), 1e-9)
        u, k = (x - t[0]) / span, (t - t[0]) / span
        if len(t) < 3:
            return np.column_stack([np.ones_like(u), u])
        last = np.maximum(u - k[-1], 0) ** 3
        d = [(np.maximum(u - k[j], 0) ** 3 - last) / (k[-1] - k[j]) for j in range(len(k) - 1)]
        return np.column_stack([np.ones_like(u), u, *(dj - d[-1] for dj in d[:-1])])
