"""What sign-off did to the spread of readings and to what the audit looks for, ward by ward and month by month.

Cells of a ward, a month, and signed off or not are compared by

    value = ward_w + month_t + effect signed_off + rest

weighted by readings, with doubt over wards (clustered.py): what a whole month did to all is not put down to teaching.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.training.clustered import Estimate, absorbed, clustered
from browline.variation.training.exposure import Bools
from browline.variation.training.measures import Measure, measure_of_change

FEWEST_READINGS = 20
"""A cell with fewer is left out of spreads and shares (common practice, no source)."""
MAD_TO_SD = 1.482602218505602
"""``1 / Phi^-1(3/4)``: of a normal law, the sd over the median distance from the median."""
BETWEEN_READINGS = "spread-between-readings"


@dataclass(frozen=True)
class Cells:
    """c cells of a ward, a month, signed off or not.

    - `ward`, `month` int64[c], `trained` bool[c], readings `n` int64[c] and a
      `value` float64[c].
    """

    ward: Codes
    month: Codes
    trained: Bools
    n: Codes
    value: Floats

    def take(self, which: Bools) -> "Cells":
        """Only the cells `kept` bool[c]."""
        return Cells(
            ward=self.ward[which],
            month=self.month[which],
            trained=self.trained[which],
            n=self.n[which],
            value=self.value[which],
        )


def spread_between_readings(e: Floats, ward: Codes, month: Codes, trained: Bools) -> Measure:
    """By how many per cent the robust spread of readings changed with sign-off.

    - `e` float64[n], °C: what the model leaves of each reading, patient and course taken off. `ward`, `month` int64[n].
    The spread of a cell is the median distance from its median; cells are compared by its logarithm.
    """
    key = np.stack([ward, month, trained.astype(np.int64)])
    where, code = np.unique(key, axis=1, return_inverse=True)
    order = np.argsort(code.ravel(), kind="stable")
    parts = np.split(e[order], np.cumsum(np.bincount(code.ravel()))[:-1])
    spread = np.array([_median_distance(part) for part in parts])
    n = np.array([len(part) for part in parts])
    enough = (n >= FEWEST_READINGS) & (spread > 0)
    cells = Cells(
        ward=where[0][enough],
        month=where[1][enough],
        trained=where[2][enough] == 1,
        n=n[enough],
        value=np.log(spread[enough]),
    )
    return measure_of_change(
        BETWEEN_READINGS, _effect(cells), "%", "The spread between readings", _per_cent, 0
    )


def audit_rate(measure: str, cells: Cells, subject: str) -> Measure:
    """By how many per cent points the share of readings in a state the audit looks for changed with sign-off.

    - `cells.value`: the share in each cell, 0 to 1: counted, or the mean of the audit's probabilities.
    - `what`: the share in words, as "The share of readings unlikely to have been measured".
    """
    estimate = _effect(cells.take(cells.n >= FEWEST_READINGS))
    return measure_of_change(measure, estimate, "percentage points", subject, _points, 1)


def audit_rate_by_reading(
    measure: str, probability: Floats, ward: Codes, month: Codes, trained: Bools, subject: str
) -> Measure:
    """The same from each reading's probability float64[n] of being in that state."""
    where, code = np.unique(np.stack([ward, month, trained.astype(np.int64)]), axis=1, return_inverse=True)
    n = np.bincount(code.ravel())
    share = np.bincount(code.ravel(), probability) / n
    return audit_rate(
        measure, Cells(ward=where[0], month=where[1], trained=where[2] == 1, n=n, value=share), subject
    )


def _effect(cells: Cells) -> Estimate | None:
    """What sign-off did, over cells weighted by readings; None where too few to tell."""
    month = cells.month[:, None] == np.unique(cells.month)[1:]
    x = np.column_stack([cells.trained, month]).astype(float)
    if not len(x):
        return None
    weight = cells.n.astype(float)
    fit = clustered(cells.value, x, weight / _noise(cells, x, weight), cells.ward, cells.ward)
    return None if fit is None else fit.contrast(np.eye(len(fit.beta))[0])


def _noise(cells: Cells, x: Floats, weight: Floats) -> float:
    """Variance of a cell times its readings, from what the fit leaves; 1 where it leaves nothing."""
    y, z = absorbed(cells.value[:, None], weight, cells.ward)[:, 0], absorbed(x, weight, cells.ward)
    root = np.sqrt(weight)
    beta, *_ = np.linalg.lstsq(root[:, None] * z, root * y, rcond=None)
    freedom = len(y) - len(np.unique(cells.ward)) - x.shape[1]
    noise = float(weight @ (y - z @ beta) ** 2) / max(freedom, 1)
    return noise if noise > 0 else 1.0


def _median_distance(e: Floats) -> float:
    return MAD_TO_SD * float(np.median(np.abs(e - np.median(e))))


def _per_cent(log_ratio: float) -> float:
    return 100 * float(np.expm1(log_ratio))


def _points(share: float) -> float:
    return 100 * share
