"""Mixtures of normals, one for each quantity asked about: what integrating over spreads leaves.

With weights w_i, means m_i and sds s_i over the nodes,

    mean = sum w_i m_i,   variance = sum w_i (s_i^2 + m_i^2) - mean^2
    P(x <= t) = sum w_i Phi((t - m_i) / s_i)
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from browline.variation.arrays import Floats

HALVINGS = 40
REACH = 7.0
LEAST_SD = 1e-12


@dataclass(frozen=True)
class Mixture:
    """k quantities as mixtures of N normals.

    - `weight` float64[N] or float64[N, k], summing to 1 over N; `mean`, `sd` float64[N, k].
    """

    weight: Floats
    mean: Floats
    sd: Floats

    @property
    def centre(self) -> Floats:
        """Posterior mean of each quantity, float64[k]."""
        return np.asarray((self._weight * self.mean).sum(0))

    @property
    def variance(self) -> Floats:
        """Posterior variance of each quantity, float64[k]."""
        return np.asarray((self._weight * (self.sd**2 + (self.mean - self.centre) ** 2)).sum(0))

    @property
    def _weight(self) -> Floats:
        return self.weight if self.weight.ndim == 2 else self.weight[:, None]

    def below(self, t: Floats | float) -> Floats:
        """``P(x <= t)`` for t float64[k] or one number.

        >>> Mixture(np.array([1.0]), np.array([[0.0]]), np.array([[1.0]])).below(0.0).tolist()
        [0.5]
        """
        return np.asarray((self._weight * ndtr((t - self.mean) / np.maximum(self.sd, LEAST_SD))).sum(0))

    def beyond(self, tolerance: float) -> Floats:
        """``P(|x| > tolerance)``, both sides together."""
        return np.asarray(np.clip(self.below(-tolerance) + 1.0 - self.below(tolerance), 0.0, 1.0))

    def quantile(self, share: float) -> Floats:
        """The value with `share` in (0, 1) of the mixture below it, by halving."""
        low = (self.mean - REACH * self.sd).min(0)
        high = (self.mean + REACH * self.sd).max(0)
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            less = self.below(middle) < share
            low, high = np.where(less, middle, low), np.where(less, high, middle)
        return np.asarray((low + high) / 2)

    def interval(self, share: float = 0.95) -> tuple[Floats, Floats]:
        """The central interval holding `share` of the mixture."""
        return self.quantile((1 - share) / 2), self.quantile((1 + share) / 2)
