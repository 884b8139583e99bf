"""Weighted least squares with a constant for every group, and doubt that lets each ward lean as a whole.

    A = sum_w X'WX,  b = sum_w X'Wy,  beta = A^-1 b,    var = (G - 1) / G sum_w (beta_(-w) - beta)(...)'

X and y less their groups' weighted means; beta_(-w) leaves ward w out. The jackknife over wards holds whatever a
ward's months share, and is wide rather than narrow with few wards; t has G - 1 degrees of freedom.
Source: Cameron and Miller 2015, J Hum Resour 50:317, on few clusters (from memory).
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats

FEWEST_WARDS = 3
_NOTHING = 1e-9


@dataclass(frozen=True)
class Estimate:
    """An effect with its 95 % interval and the chance `p` of one so large by luck, by Student's law."""

    effect: float
    low: float
    high: float
    p: float

    @classmethod
    def from_standard_error(cls, effect: float, se: float, freedom: int) -> "Estimate":
        """From a standard error with so many degrees of freedom.

        >>> told = Estimate.from_standard_error(1.0, 0.5, 10)
        >>> round(told.low, 3), round(told.p, 3)
        (-0.114, 0.073)
        """
        from scipy.special import stdtr, stdtrit

        half = float(stdtrit(freedom, 0.975)) * se
        p = 2 * float(stdtr(freedom, -abs(effect) / se)) if se > 0 else float(effect == 0)
        return cls(effect, effect - half, effect + half, p)


@dataclass(frozen=True)
class Clustered:
    """Of p columns: `beta` float64[p]; `plain` float64[p, p], the variance were all rows apart with weights exact;
    `covariance` float64[p, p], over wards; `freedom` of t."""

    beta: Floats
    plain: Floats
    covariance: Floats
    freedom: int

    def contrast(self, a: Floats) -> Estimate:
        """``a'beta`` with the larger of both variances, so that wards alike by luck do not count."""
        variance = max(float(a @ self.covariance @ a), float(a @ self.plain @ a))
        return Estimate.from_standard_error(float(a @ self.beta), variance**0.5, self.freedom)


def clustered(y: Floats, x: Floats, weight: Floats, group: Codes, ward: Codes) -> Clustered | None:
    """The fit, or None where fewer than 3 wards tell anything, or where a column hangs on one ward alone.

    - `y` float64[n], `x` float64[n, p] without constant, `weight` float64[n] > 0, 1 / variance.
    - `group` int64[n]: rows with a constant of their own. `ward` int64[n]; a group may span wards.
    """
    y, x = absorbed(y[:, None], weight, group)[:, 0], absorbed(x, weight, group)
    wards = np.unique(ward)
    if len(wards) < FEWEST_WARDS:
        return None
    rows = [ward == w for w in wards]
    a = np.array([(x[r].T * weight[r]) @ x[r] for r in rows])
    b = np.array([(x[r].T * weight[r]) @ y[r] for r in rows])
    if not all(_independent(a.sum(0) - ward_information, a.sum(0)) for ward_information in (0 * a[0], *a)):
        return None
    beta = np.linalg.solve(a.sum(0), b.sum(0))
    without = np.array([np.linalg.solve(a.sum(0) - i, b.sum(0) - j) for i, j in zip(a, b, strict=True)])
    apart = without - beta
    g = len(wards)
    return Clustered(beta, np.linalg.inv(a.sum(0)), (g - 1) / g * apart.T @ apart, g - 1)


def absorbed(columns: Floats, weight: Floats, group: Codes) -> Floats:
    """Columns less their weighted mean in every group.

    >>> absorbed(np.array([[1.0], [3.0], [5.0]]), np.ones(3), np.array([0, 0, 1])).ravel().tolist()
    [-1.0, 1.0, 0.0]
    """
    _, code = np.unique(group, return_inverse=True)
    total = np.bincount(code, weight)
    means = np.column_stack([np.bincount(code, weight * c) / total for c in columns.T])
    return np.asarray(columns - means[code])


def _independent(information: Floats, total: Floats) -> bool:
    """Whether every column is still told apart from the others."""
    scale = np.sqrt(np.diag(total))
    if not np.all(scale > 0):
        return False
    return bool(np.linalg.eigvalsh(information / np.outer(scale, scale))[0] > _NOTHING)
