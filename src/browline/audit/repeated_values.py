"""The same number again: too many differences of exactly nothing between readings that follow each other.

Two honest readings differ by a smooth law, on the recording grid of the chart; that they are alike makes small
differences likely, but nought no likelier than its neighbours lead one to expect. What stands above that at
nought was carried over. This needs no model of the patient: a course that hardly moves narrows the law, it does
not put a needle in its middle. The law is fitted without nought, ward by ward.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.clusters import inflation, variance_between
from browline.audit.excess import Excess
from browline.audit.expected_density import Histograms, Shape, Smooth, fit
from browline.audit.histograms import Table, crossed
from browline.audit.recording_grid import converted_weight

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

REACH_C = 3.0
KNOTS_C = 0.25


@dataclass(frozen=True)
class Pairs:
    """m pairs of readings of a table that follow each other, in one ward and at one site.

    - `earlier`, `later`: int64[m], positions in the table. `ward`: int64[m], codes.
    - `cluster`: int64[m] from 0, whose pair it is; pairs of one cluster lean together.
    """

    earlier: Ints
    later: Ints
    ward: Ints
    cluster: Ints


@dataclass(frozen=True)
class Carried:
    """How many of a ward's pairs hold the same number beyond what honest reading would give.

    - `ward`: code. `excess`: over pairs; its share is the share of numbers carried over.
    """

    ward: int
    excess: Excess
    tolerance: float

    @property
    def p(self) -> float:
        """Chance of so many equal pairs under honest reading."""
        return self.excess.p_beyond(self.tolerance)


def carried(table: Table, honest: Smooth, pairs: Pairs, tolerance: float) -> tuple[Carried, ...]:
    """The excess of equal pairs, ward by ward.

    - `honest`: the fitted expectation of the table's values; numbers it leaves out (found far too often) are
      left out of the pairs too, so that one habit is not told twice.
    - `tolerance`: share of pairs let pass, 0 to 1.
    """
    spiked = honest.problem.excluded[table.group, table.place]
    keep = np.flatnonzero(~(spiked[pairs.earlier] | spiked[pairs.later]))
    step = table.grid.celsius[1] - table.grid.celsius[0]
    reach = round(REACH_C / step)
    apart = table.place[pairs.later[keep]] - table.place[pairs.earlier[keep]]
    near = np.abs(apart) <= reach
    keep, apart = keep[near], apart[near]
    if not len(keep):
        return ()
    wards, owner = np.unique(pairs.ward[keep], return_inverse=True)
    size = 2 * reach + 1
    counts = crossed(owner, apart + reach, len(wards), size)
    direct, converted = _difference_weights(table, honest, wards, reach)
    nought = np.zeros(counts.shape, bool)
    nought[:, reach] = True
    shape = Shape.over(np.arange(-reach, reach + 1) * step, KNOTS_C)
    smooth = fit(Histograms(counts=counts, shape=shape, direct=direct, converted=converted, excluded=nought))
    between = _between(smooth, apart + reach, owner, pairs.cluster[keep], len(wards))
    return tuple(_carried(int(w), i, smooth, reach, between[i], tolerance) for i, w in enumerate(wards))


def _carried(ward: int, i: int, smooth: Smooth, nought: int, between: float, tolerance: float) -> Carried:
    counts, expected = smooth.problem.counts[i], float(smooth.expected[i, nought])
    fitted = expected**2 * float(smooth.log_variance[i, nought])
    observed = float(counts[nought])
    wider = inflation(between, observed + fitted)
    return Carried(
        ward,
        Excess(
            n=int(counts.sum()), observed=observed, expected=expected, fit_variance=fitted, inflation=wider
        ),
        tolerance,
    )


def _between(smooth: Smooth, bin_: Ints, owner: Ints, cluster: Ints, wards: int) -> Floats:
    size = smooth.expected.shape[1]
    nought = np.zeros(size)
    nought[size // 2] = 1.0
    influence = np.stack([smooth.influence(i, nought) for i in range(wards)])
    residual = (bin_ == size // 2) - influence[owner, bin_]
    return variance_between(residual, cluster, owner, wards)


def _difference_weights(table: Table, honest: Smooth, wards: Ints, reach: int) -> tuple[Floats, Floats]:
    """(each from any source, both from one source): how a ward's recording grid weighs each difference.

    ``W_d = sum_k m_k m_(k+d) f_k f_(k+d) / sum_k f_k f_(k+d)`` with f the smooth density and m the weights of
    the recording grid, nought at numbers left out; for one source m m' is averaged over sources instead.
    """
    converted = converted_weight(table.grid)
    any_source, single_source = np.empty((2, len(wards), 2 * reach + 1))
    for i, w in enumerate(wards):
        groups = np.flatnonzero(table.ward == w)
        mu, included = honest.expected[groups], ~honest.problem.excluded[groups]
        mixed = honest.mixed[groups][:, None]
        m = 1.0 + mixed * (converted[None, :] - 1.0)
        f = mu / np.maximum(m, 1e-9)
        both = _lagged(f, f, reach)
        any_source[i] = (
            _lagged(f * m * included, f * m * included, reach) / both.clip(1e-300)
        ).T @ _proportions(mu)
        terms = (1 - mixed) * _lagged(f * included, f * included, reach)
        terms = terms + mixed * _lagged(f * converted * included, f * converted * included, reach)
        single_source[i] = (terms / both.clip(1e-300)).T @ _proportions(mu)
    return any_source, single_source


def _proportions(mu: Floats) -> Floats:
    total = mu.sum(axis=1)
    proportion: Floats = total / total.sum()
    return proportion


def _lagged(a: Floats, b: Floats, reach: int) -> Floats:
    """float64[G, 2 reach + 1], ``sum_k a_k b_(k+d)`` for d from -reach to reach."""
    size = a.shape[1]
    padded = np.zeros((len(b), size + 2 * reach))
    padded[:, reach : reach + size] = b
    lags = [(a * padded[:, d : d + size]).sum(axis=1) for d in range(2 * reach + 1)]
    out: Floats = np.stack(lags, axis=1)
    return out
