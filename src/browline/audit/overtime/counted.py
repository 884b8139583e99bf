"""Events counted out of totals, point by point, checked once when made."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.errors import Refusal

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]
Bools = NDArray[np.bool_]
Given = Sequence[int] | Counts
Baseline = int | Sequence[bool] | Bools | None


@dataclass(frozen=True)
class Counted:
    """`counts` int64[n] of `totals` int64[n] in order of time, and which points are `baseline` bool[n]."""

    counts: Counts
    totals: Counts
    baseline: Bools

    @classmethod
    def checked(cls, counts: Given, totals: Given, baseline: Baseline = None) -> "Counted":
        """Checked; `baseline` is a number of first points, a mask, or None for all.

        Raises Refusal where a count is no part of its total, a total is none, or the baseline holds no point.
        """
        c, n = np.asarray(counts, np.int64), np.asarray(totals, np.int64)
        if c.ndim != 1 or c.shape != n.shape or not len(c) or (n < 1).any() or (c < 0).any() or (c > n).any():
            raise Refusal(
                "Counts came that are no parts of their totals, or points without any readings.",
                "For each point one count and one total, 0 <= count <= total and total at least 1, are wanted.",
                "Leave points without readings out.",
            )
        return cls(c, n, _mask(baseline, len(c)))

    @property
    def proportions(self) -> Floats:
        """Share of each point, in [0, 1]."""
        return np.asarray(self.counts / self.totals)

    @property
    def centre(self) -> float:
        """Share over the baseline, all its readings together."""
        return float(self.counts[self.baseline].sum() / self.totals[self.baseline].sum())

    @property
    def sd(self) -> Floats:
        """``sqrt(p (1 - p) / n_i)`` of each point around the centre."""
        return np.asarray(np.sqrt(self.centre * (1.0 - self.centre) / self.totals))


def _mask(baseline: Baseline, n: int) -> Bools:
    if baseline is None:
        return np.ones(n, np.bool_)
    mask = np.arange(n) < baseline if isinstance(baseline, int) else np.asarray(baseline, np.bool_)
    if mask.shape != (n,) or not mask.any():
        raise Refusal(
            "A baseline came that holds no point of the chart, or marks for another number of points.",
            f"A number of first points, or one mark for each of the {n} points, is wanted.",
            "Take the points before the change, at least a dozen.",
        )
    return mask
