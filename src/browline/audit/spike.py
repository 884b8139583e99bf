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

    `left_out` bool[G, K]: the numbers found. `smooth`: the honest expectation without them.
    """

    first: tuple[Spike, ...]
    more: tuple[Spike, ...]
    smooth: Smooth

    @property
    def left_out(self) -> Flags:
        """bool[G, K], the numbers found in each histogram."""
        return self.smooth.problem.left_out


def find(table: Table, cluster: Ints, tolerance: float) -> Spikes:
    """The unlikely numbers of every ward in a table.

    - `cluster`: int64[m], whose reading each is (stay within ward); readings of one cluster lean together.
    - `tolerance`: share of a ward's readings in excess that is let pass, 0 to 1.
    """
    problem = problem_of(table)
    wards, owner = np.unique(table.ward, return_inverse=True)
    found: dict[int, list[Spike]] = {int(w): [] for w in wards}
    left_out, open_ = problem.left_out, np.ones(len(wards), bool)
    smooth = fit(problem)
    for _ in range(MOST):
        place = _outstanding(smooth, owner, len(wards))
        trial = left_out.copy()
        trial[np.arange(len(owner)), place[owner]] |= open_[owner]
        tested = fit(problem.without(trial))
        spikes = _spikes(table, tested, owner, wards, place, cluster, tolerance)
        likely = np.array([s.p < LIKELY for s in spikes]) & open_
        for w in np.flatnonzero(open_):
            if likely[w] or not found[int(wards[w])]:
                found[int(wards[w])].append(spikes[w])
        open_ &= likely
        left_out = np.where(open_[owner][:, None], trial, left_out)
        if not open_.any():
            break
        smooth = fit(problem.without(left_out))
    return Spikes(
        tuple(f[0] for f in found.values()), tuple(s for f in found.values() for s in f[1:]), smooth
    )


def problem_of(table: Table) -> Histograms:
    """The table's histograms with what honest conversion does to them."""
    counts, lattice = table.counts, table.lattice
    return Histograms(
        counts=counts,
        shape=Shape.over(lattice.celsius, KNOTS_C),
        own=np.ones((1, lattice.size)),
        other=converted_weight(lattice)[None, :],
        left_out=np.zeros(counts.shape, bool),
    )


def _outstanding(smooth: Smooth, owner: Ints, wards: int) -> Ints:
    """int64[W], the number that stands out most against a fit without itself (to first order)."""
    mu, spread = smooth.expected, smooth.log_variance
    left = smooth.problem.left_out
    kept = np.maximum(1.0 - np.where(left, 0.0, mu * spread), 1e-3)
    shift = np.where(left, 0.0, mu * spread / kept * (smooth.problem.counts / np.maximum(mu, 1e-12) - 1.0))
    expected = mu * np.exp(-np.clip(shift, -3.0, 3.0))
    above = np.zeros((wards, mu.shape[1]))
    variance = np.full_like(above, 1e-9)
    np.add.at(above, owner, np.where(left, 0.0, smooth.problem.counts - expected))
    np.add.at(variance, owner, expected + expected**2 * spread / kept)
    told = np.zeros(above.shape, bool)
    np.logical_or.at(told, owner, left)
    clear = np.where(told, -np.inf, above / np.sqrt(variance))
    most = np.where(clear > CLEARLY, above, 0.0)
    out: Ints = np.where(most.any(axis=1), most.argmax(axis=1), clear.argmax(axis=1))
    return out


def _spikes(
    table: Table, smooth: Smooth, owner: Ints, wards: Ints, place: Ints, cluster: Ints, tolerance: float
) -> list[Spike]:
    """The excess of one number of each ward, with the fit made without it."""
    g = np.arange(len(owner))
    at = place[owner]
    mu, counts = smooth.expected, smooth.problem.counts
    own_variance = mu[g, at] ** 2 * smooth.log_variance[g, at]
    n, observed, expected, fitted = (
        np.bincount(owner, x, len(wards))
        for x in (counts.sum(axis=1), counts[g, at], mu[g, at], own_variance)
    )
    spread = _between_clusters(table, smooth, owner, at, cluster, len(wards))
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
                inflation=inflation(spread[w], observed[w] + fitted[w]),
            ),
            candidates=int(min(candidates[w], table.lattice.size)),
            tolerance=tolerance,
        )
        for w in range(len(wards))
    ]


def _between_clusters(
    table: Table, smooth: Smooth, owner: Ints, at: Ints, cluster: Ints, wards: int
) -> Floats:
    """float64[W], variance of the excess from how it differs between clusters: ``sum_e (r_e - n_e r)^2``."""
    one = np.eye(table.lattice.size)
    pull = np.stack([smooth.influence(i, one[k]) for i, k in enumerate(at)])
    residual = (table.place == at[table.group]) - pull[table.group, table.place]
    return variance_between(residual, cluster, owner[table.group], wards)
