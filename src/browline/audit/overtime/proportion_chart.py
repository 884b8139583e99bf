"""What every chart of shares over time comes to, however its limits were made."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from browline.audit.overtime import runlength
from browline.audit.overtime.binomial import outside_probability
from browline.audit.overtime.counted import Bools, Counted, Floats
from browline.audit.overtime.outcome import Outcome

# Fewest points a baseline is estimated from: common practice, no source.
FEWEST_POINTS = 12
# Mean range of two normal values in sd (d2 for n = 2, 2 / sqrt(pi)), as rounded in the trade's tables.
RANGE_SD = 1.128


class Method(StrEnum):
    """How the limits of a chart of shares were made."""

    P = "p"
    P_PRIME = "p-prime"
    EXACT = "exact"


@dataclass(frozen=True)
class ProportionChart:
    """Shares over time with limits point by point.

    - `centre`: share over the baseline. `sigma_z`: spread of neighbouring points over what chance alone brings.
    - `proportions`, `low`, `high` float64[n]: in [0, 1]; an exact `low` under 0 means there is no low limit.
    - `outside` bool[n]: points beyond their limits.
    - `run_length`: points between false alarms while nothing changes, for these totals, the centre taken as known.
    """

    method: Method
    centre: float
    sigma_z: float
    proportions: Floats
    low: Floats
    high: Floats
    outside: Bools
    run_length: float
    outcome: Outcome

    @property
    def error_rate(self) -> str:
        """How often the chart is wrong, in words."""
        return runlength.in_words(self.run_length)


def read(
    given: Counted, method: Method, low: Floats, high: Floats, dispersion: float, enough: bool
) -> ProportionChart:
    """The points held against their limits.

    - `low`, `high` float64[n], shares. `dispersion` >= 1: variance of a steady count over the binomial one.
    - `enough`: whether there are events enough for such limits.
    """
    outside = (given.proportions < low - 1e-12) | (given.proportions > high + 1e-12)
    probabilities = [
        outside_probability(a, b, given.centre, int(n), dispersion)
        for a, b, n in zip(low, high, given.totals, strict=True)
    ]
    false_alarms = float(np.mean(probabilities))
    return ProportionChart(
        method=method,
        centre=given.centre,
        sigma_z=sigma_z(given),
        proportions=given.proportions,
        low=low,
        high=high,
        outside=outside,
        run_length=1.0 / false_alarms if false_alarms > 0.0 else np.inf,
        outcome=_outcome(given, outside, enough),
    )


def _outcome(given: Counted, outside: Bools, enough: bool) -> Outcome:
    if given.baseline.sum() < FEWEST_POINTS or not enough:
        return Outcome.TOO_FEW
    return Outcome.OUTSIDE if outside.any() else Outcome.STEADY


def expected(given: Counted) -> float:
    """Events, or non-events where they are rarer, expected at the middle point of the baseline."""
    rarer = min(given.centre, 1.0 - given.centre)
    return rarer * float(np.median(given.totals[given.baseline]))


def sigma_z(given: Counted) -> float:
    """Mean range of neighbouring z in the baseline, over 1.128; 0 where nothing varies or no neighbours are."""
    usual = given.sd[given.baseline]
    if usual.size < 2 or not usual.all():
        return 0.0
    z = (given.proportions[given.baseline] - given.centre) / usual
    return float(np.abs(np.diff(z)).mean() / RANGE_SD)
