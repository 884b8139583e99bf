"""What each level is compared with: the middle of the latest levels of the other subjects of its group.

Raw effects share the unknown mean of their kind, so every effect is read as a contrast: a level less a weighted
mean of the others' latest levels (of instruments, those used at the same site: what a site reads and what its
instruments have in common cannot be told apart),

    c_l = u_l - sum_k w_k u_k / sum_k w_k,   k over the latest levels of other subjects of l's group
    w_k = [|u_k - median| <= OUTLYING s] / (C_kk + s^2),   s = 1.4826 median |u - median|

so that a few faulty instruments, or some that are hardly known, do not move what the sound ones are compared
with. The weights are chosen once, from the readings; given them the contrast is linear in the effects, and
what is said of it (interval, chance beyond tolerance) is said of that very sum, the others' doubt included.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.levels import Levels

OUTLYING, LEAST_SPREAD_C = 3.0, 0.02


@dataclass(frozen=True)
class Comparison:
    """One kind's contrasts ``c = u - a (w'u) + b u[latest_level]``, worked out without the matrix of them.

    - `weights` float64[levels]: w, 0 for segments gone by. `latest_level` int64[levels]: that of each
      level's subject.
    - `share` float64[levels]: a = 1 / (total weight of the others of the group); 0 where there are none.
    - `group` int64[levels]: only levels of one group are compared.
    """

    weights: Floats
    latest_level: Codes
    share: Floats
    group: Codes

    def contrasts(self, u: Floats) -> Floats:
        """The contrasts along the first axis of `u` float64[levels, ...].

        >>> from browline.variation.levels import levels
        >>> against(levels(np.array([0, 1, 2])), np.ones(3)).contrasts(np.array([3.0, 0.0, 1.0])).tolist()
        [2.5, -2.0, -0.5]
        """
        by = (-1,) + (1,) * (u.ndim - 1)
        back = (self.share * self.weights[self.latest_level]).reshape(by)
        return np.asarray(
            u
            - self.share.reshape(by) * self._summed(self.weights.reshape(by) * u)
            + back * u[self.latest_level]
        )

    def _summed(self, parts: Floats) -> Floats:
        """The sum of each level's group, along the first axis."""
        if not self.group.any():
            return np.broadcast_to(parts.sum(0), parts.shape)
        total = np.zeros((int(self.group.max()) + 1, *parts.shape[1:]))
        np.add.at(total, self.group, parts)
        return np.asarray(total[self.group])

    def within(self, covariance: Floats) -> Floats:
        """The contrasts' own covariance, from the levels' float64[levels, levels]."""
        return self.contrasts(self.contrasts(covariance).T)

    def variance(self, by_level: Floats) -> Floats:
        """The contrasts' variances where the levels are independent with variances `by_level`."""
        parts = self.weights**2 * by_level
        others = self.share**2 * (self._summed(parts) - parts[self.latest_level])
        return np.asarray(by_level + others)

    @property
    def compared(self) -> "np.typing.NDArray[np.bool_]":
        """Which levels have anything to be compared with."""
        return np.asarray(self.share > 0)


def against(kind: Levels, weights: Floats) -> Comparison:
    """Each level against the weighted mean of the other subjects' latest levels."""
    latest = np.flatnonzero(kind.latest)
    place = np.full(int(kind.subject.max(initial=-1)) + 1, -1)
    place[kind.subject[latest]] = latest
    latest_level = place[kind.subject].astype(np.int64)
    weights = np.where(kind.latest, weights, 0.0)
    groups = np.bincount(kind.group, weights, int(kind.group.max(initial=0)) + 1)
    total = np.maximum(groups[kind.group] - weights[latest_level], 0.0)
    known = total > 1e-9 * max(float(weights.max(initial=0.0)), 1e-300)
    return Comparison(
        weights, latest_level, np.divide(1.0, total, out=np.zeros(len(total)), where=known), kind.group
    )


def middle(kind: Levels, u: Floats, variance: Floats) -> Floats:
    """Weights float64[levels] of the latest levels in the middle of their kind; 0 for segments gone by."""
    weights = np.zeros(len(u))
    for group in np.unique(kind.group):
        members = kind.group == group
        weights[members] = _middle(kind.latest[members], u[members], variance[members])
    return weights


def _middle(is_latest: "np.typing.NDArray[np.bool_]", u: Floats, variance: Floats) -> Floats:
    latest = u[is_latest]
    centre = float(np.median(latest)) if len(latest) else 0.0
    sd = max(1.4826 * float(np.median(np.abs(latest - centre))) if len(latest) else 0.0, LEAST_SPREAD_C)
    inlying = np.abs(u - centre) <= OUTLYING * sd
    return np.where(is_latest & inlying, 1.0 / (np.maximum(variance, 0.0) + sd**2), 0.0)
