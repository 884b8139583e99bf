"""CUSUM: small lasting shifts of a level, added up until they cannot be chance."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.overtime import runlength
from browline.audit.overtime.outcome import Outcome
from browline.audit.overtime.standardised import signal_outcome, standardised

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class CusumChart:
    """A two-sided CUSUM of standardised values.

    - `high`, `low` float64[n]: the sums for a level gone up and gone down, in sd of a point, both >= 0.
    - `limit`: what they must not pass. `first_signal`: the first point where one does, None for none.
    - `began`: the point after the signalling sum last stood at zero, where the shift is likeliest to have begun.
    - `run_length`: points between false alarms while nothing shifts.
    """

    high: Floats
    low: Floats
    limit: float
    first_signal: int | None
    began: int | None
    run_length: float
    outcome: Outcome

    @property
    def error_rate(self) -> str:
        """How often the chart is wrong, in words."""
        return runlength.in_words(self.run_length)


def cusum_chart(
    values: Sequence[float] | Floats, *, reference: float = 0.5, limit: float = 4.77, head_start: float = 0.0
) -> CusumChart:
    """Chart standardised values by a two-sided CUSUM.

        S+ <- max(0, S+ + z - k),   S- <- max(0, S- - z - k),   both from head_start h;   signal at S > h

    It goes on after a signal, so that the path can be drawn; only the first signal is told. Without a signal it
    is steady only once it is longer than a shift of 1 sd takes to be found on average, else too few to tell.

    - `values`: float[n], in standard deviations from the baseline, in order of time, finite.
    - `reference` k >= 0: half the shift to be found. `limit` h > 0, both in sd. `head_start` in [0, 0.5]: share of h.

    Raises Refusal for values outside these ranges.
    Source: Page 1954, Biometrika 41:100-115; head start Lucas & Crosier 1982, Technometrics 24:199-205 (from memory).

    >>> chart = cusum_chart([0.2, -0.4, 0.1, 2.0, 1.8, 2.2, 1.9, 2.4])
    >>> chart.first_signal, chart.began, chart.error_rate
    (6, 3, 'on average one false alarm in 370 points')
    """
    z = standardised(values)
    run_length = runlength.cusum(limit, reference, head_start=head_start)
    high, low = (_summed(way, reference, head_start * limit) for way in (z, -z))
    beyond = np.flatnonzero(np.maximum(high, low) > limit)
    first = int(beyond[0]) if len(beyond) else None
    began = None if first is None else _began(high if high[first] > limit else low, first)
    needed = runlength.cusum(limit, reference, shift=1.0, head_start=head_start)
    return CusumChart(
        high=high,
        low=low,
        limit=limit,
        first_signal=first,
        began=began,
        run_length=run_length,
        outcome=signal_outcome(first, len(z), needed),
    )


def _summed(z: Floats, reference: float, start: float) -> Floats:
    level, path = start, []
    for value in z:
        level = max(0.0, level + float(value) - reference)
        path.append(level)
    return np.array(path)


def _began(path: Floats, signal: int) -> int:
    """The point after the last zero before the signal."""
    zeros = np.flatnonzero(path[:signal] == 0.0)
    return int(zeros[-1]) + 1 if len(zeros) else 0
