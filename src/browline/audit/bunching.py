"""The edge of a rule: too few values just above the fever line with too many just below.

The smooth expectation is fitted without three tenths on either side of the line; two of them are looked at. A value
kept under the line leaves a gap above it and a heap below it; both have to show, so the weaker of the two counts.
"""

from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from browline.audit.clusters import inflation, variance_between
from browline.audit.excess import POWER_Z
from browline.audit.expected_density import Smooth, fit
from browline.audit.histograms import Table
from browline.audit.tails import lower_tail, upper_tail
from browline.quantities.shares import Z95

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BESIDE_C = 0.2
GUARD_C = 0.1
"""Left out of the fit beyond these: a habit that reaches a tenth further would pull the expectation down."""
FEWEST_DUE = 5.0
"""A ward with fewer values due just above the line says nothing about it."""


@dataclass(frozen=True)
class Side:
    """Counts of one ward on one side of the line: observed, expected, the expectation's own variance, inflation."""

    observed: float
    expected: float
    fit_variance: float
    inflation: float

    @property
    def variance(self) -> float:
        """Of ``observed - expected`` under honest reading."""
        return self.inflation * (self.expected + self.fit_variance)


@dataclass(frozen=True)
class Bunching:
    """The two sides of the line on one ward; `ward` is its number."""

    ward: int
    below: Side
    above: Side

    @property
    def missing(self) -> float:
        """Share of the values expected just above the line that are not there."""
        return 1.0 - self.above.observed / self.above.expected

    @property
    def interval(self) -> tuple[float, float]:
        """95 % interval of `missing`, by the log of observed over expected."""
        count, due = max(self.above.observed, 0.5), self.above.expected
        log_sd = sqrt(self.above.inflation * (1 / count + self.above.fit_variance / due**2))
        ratio = log(count / due)
        return 1 - exp(ratio + Z95 * log_sd), 1 - exp(ratio - Z95 * log_sd)

    @property
    def p(self) -> float:
        """Chance of a gap above and a heap below so large under honest reading: the larger of the two chances."""
        above, below = self.above, self.below
        gap = lower_tail(above.observed, above.expected, above.variance)
        return max(gap, upper_tail(below.observed, below.expected, below.variance))

    def least(self, z: float) -> float:
        """The smallest missing share seen 8 times in 10 by a test at normal quantile `z`; 1 or more: none would be."""
        return (z + POWER_Z) * sqrt(self.above.variance) / self.above.expected


def bunching(table: Table, honest: Smooth, cluster: Ints, line_c: float) -> tuple[Bunching, ...]:
    """Both sides of the line on every ward of a table, at a line met by values at or over `line_c` (°C).

    - `honest`: the table's fit, whose left-out numbers stay out of the fit. `cluster`: int64[m], whose reading each is.
    """
    celsius = table.grid.celsius
    above = (celsius > line_c - 1e-9) & (celsius < line_c + BESIDE_C - 1e-9)
    below = (celsius < line_c - 1e-9) & (celsius > line_c - BESIDE_C - 1e-9)
    near = np.abs(celsius - line_c + 1e-9) <= BESIDE_C + GUARD_C
    smooth = fit(honest.problem.without(honest.problem.excluded | near[None, :]))
    wards, owner = np.unique(table.ward, return_inverse=True)
    sides = [_sides(table, smooth, owner, m, cluster, len(wards)) for m in (below, above)]
    return tuple(
        Bunching(int(w), *pair)
        for w, *pair in zip(wards, *sides, strict=True)
        if pair[1].expected >= FEWEST_DUE
    )


def _sides(
    table: Table, smooth: Smooth, owner: Ints, bins: NDArray[np.bool_], cluster: Ints, wards: int
) -> list[Side]:
    """One side of every ward; `looked_at` bool[K]."""
    weights = bins.astype(np.float64)
    groups = range(len(owner))
    observed = np.bincount(owner, smooth.problem.counts @ weights, wards)
    expected = np.bincount(owner, smooth.expected @ weights, wards)
    fitted = np.bincount(owner, [smooth.fit_variance(g, weights) for g in groups], wards)
    influence = np.stack([smooth.influence(g, weights) for g in groups])
    residual = weights[table.place] - influence[table.group, table.place]
    between = variance_between(residual, cluster, owner[table.group], wards)
    return [
        Side(observed[w], expected[w], fitted[w], inflation(between[w], observed[w] + fitted[w]))
        for w in range(wards)
    ]
