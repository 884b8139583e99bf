"""One value far too often: every number of a ward is a candidate, each judged against all the others.

For ward w and number k the expectation is fitted without k in every histogram of the ward (one for each site)
and summed; what stands above it is the excess. The favourite is local, so the number that stands out most is
tested with a correction for all that were looked at; once found it is left out and the next is looked for.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.clusters import inflation, variance_between
from browline.audit.excess import Excess
from browline.audit.expected_density import Histograms, Shape, Smooth, fit
from browline.audit.histograms import Table
from browline.audit.recording_grid import converted_weight

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]

KNOTS_C = 0.5
"""Spacing of the knots, °C: wide enough that one number cannot bend the curve to itself."""
MOST = 4
LIKELY = 0.01
CLEARLY = 4.0
"""Standard errors: of numbers that stand out clearly the most frequent comes first, because one great excess
bends the first curve and makes its thin neighbours look odd."""


@dataclass(frozen=True)
class Spike:
    """The number that stands out most in what a ward charted in one unit.

    - `ward`: code. `place`: the number's bin. `excess`: over all sites of the ward. `candidates`: how many
      numbers were looked at. `tolerance`: the share that is let pass.
    """

    ward: int
    place: int
    excess: Excess
    candidates: int
    tolerance: float

    @property
    def p(self) -> float:
        """Chance of standing out so far under honest reading, for the most outstanding of all candidates."""
        return min(1.0, self.candidates * self.excess.p_beyond(self.tolerance))


@dataclass(frozen=True)
class Spikes:
    """What was found in a table: `first` of each ward, `more` of those that have several, and the last fit.

    `excluded` bool[G, K]: the numbers found. `smooth`: the honest expectation without them.
    """

    first: tuple[Spike, ...]
    more: tuple[Spike, ...]
    smooth: Smooth

    @property
    def excluded(self) -> Flags:
        """bool[G, K], the numbers found in each histogram."""
        return self.smooth.problem.excluded


def find(table: Table, cluster: Ints, tolerance: float) -> Spikes:
    """The unlikely numbers of every ward in a table.

    - `cluster`: int64[m], whose reading each is (stay within ward); readings of one cluster lean together.
    - `tolerance`: share of a ward's readings in excess that is let pass, 0 to 1.
    """
    problem = table_histograms(table)
    wards, owner = np.unique(table.ward, return_inverse=True)
    by_ward: dict[int, list[Spike]] = {int(w): [] for w in wards}
    excluded, open_ = problem.excluded, np.ones(len(wards), bool)
    smooth = fit(problem)
    for _ in range(MOST):
        place = _outstanding(smooth, owner, len(wards))
        trial = excluded.copy()
        trial[np.arange(len(owner)), place[owner]] |= open_[owner]
        tested = fit(problem.without(trial))
        spikes = _spikes(table, tested, owner, wards, place, cluster, tolerance)
        likely = np.array([s.p < LIKELY for s in spikes]) & open_
        for w in np.flatnonzero(open_):
            if likely[w] or not by_ward[int(wards[w])]:
                by_ward[int(wards[w])].append(spikes[w])
        open_ &= likely
        excluded = np.where(open_[owner][:, None], trial, excluded)
        if not open_.any():
            break
        smooth = fit(problem.without(excluded))
    return Spikes(
        tuple(f[0] for f in by_ward.values()), tuple(s for f in by_ward.values() for s in f[1:]), smooth
    )


def table_histograms(table: Table) -> Histograms:
    """The table's histograms with what honest conversion does to them."""
    counts, grid = table.counts, table.grid
    return Histograms(
        counts=counts,
        shape=Shape.over(grid.celsius, KNOTS_C),
        direct=np.ones((1, grid.size)),
        converted=converted_weight(grid)[None, :],
        excluded=np.zeros(counts.shape, bool),
    )


def _outstanding(smooth: Smooth, owner: Ints, wards: int) -> Ints:
    """int64[W], the number that stands out most against a fit without itself (to first order)."""
    mu, log_variance = smooth.expected, smooth.log_variance
    excluded = smooth.problem.excluded
    complement = np.maximum(1.0 - np.where(excluded, 0.0, mu * log_variance), 1e-3)
    shift = np.where(
        excluded, 0.0, mu * log_variance / complement * (smooth.problem.counts / np.maximum(mu, 1e-12) - 1.0)
    )
    expected = mu * np.exp(-np.clip(shift, -3.0, 3.0))
    above = np.zeros((wards, mu.shape[1]))
    variance = np.full_like(above, 1e-9)
    np.add.at(above, owner, np.where(excluded, 0.0, smooth.problem.counts - expected))
    np.add.at(variance, owner, expected + expected**2 * log_variance / complement)
    excluded_in_ward = np.zeros(above.shape, bool)
    np.logical_or.at(excluded_in_ward, owner, excluded)
    clear = np.where(excluded_in_ward, -np.inf, above / np.sqrt(variance))
    most = np.where(clear > CLEARLY, above, 0.0)
    out: Ints = np.where(most.any(axis=1), most.argmax(axis=1), clear.argmax(axis=1))
    return out


def _spikes(
    table: Table, smooth: Smooth, owner: Ints, wards: Ints, place: Ints, cluster: Ints, tolerance: float
) -> list[Spike]:
    """The excess of one number of each ward, with the fit made without it."""
    g = np.arange(len(owner))
    bins = place[owner]
    mu, counts = smooth.expected, smooth.problem.counts
    count_variance = mu[g, bins] ** 2 * smooth.log_variance[g, bins]
    n, observed, expected, fitted = (
        np.bincount(owner, x, len(wards))
        for x in (counts.sum(axis=1), counts[g, bins], mu[g, bins], count_variance)
    )
    between = _between_clusters(table, smooth, owner, bins, cluster, len(wards))
    candidates = np.bincount(owner, ((mu >= 1) | (counts >= 1)).sum(axis=1), len(wards))
    return [
        Spike(
            ward=int(wards[w]),
            place=int(place[w]),
            excess=Excess(
                n=int(n[w]),
                observed=float(observed[w]),
                expected=float(expected[w]),
                fit_variance=float(fitted[w]),
                inflation=inflation(between[w], observed[w] + fitted[w]),
            ),
            candidates=int(min(candidates[w], table.grid.size)),
            tolerance=tolerance,
        )
        for w in range(len(wards))
    ]


def _between_clusters(
    table: Table, smooth: Smooth, owner: Ints, bins: Ints, cluster: Ints, wards: int
) -> Floats:
    """float64[W], variance of the excess from how it differs between clusters: ``sum_e (r_e - n_e r)^2``."""
    unit_vectors = np.eye(table.grid.size)
    influence = np.stack([smooth.influence(i, unit_vectors[k]) for i, k in enumerate(bins)])
    residual = (table.place == bins[table.group]) - influence[table.group, table.place]
    return variance_between(residual, cluster, owner[table.group], wards)
