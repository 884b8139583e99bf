"""EWMA: the level of late, each point counting less the older it is."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from browline.audit.overtime import runlength
from browline.audit.overtime.outcome import Outcome
from browline.audit.overtime.standardised import signal_outcome, standardised

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class EwmaChart:
    """A two-sided EWMA of standardised values.

    - `path` float64[n]: the weighted mean after each point. `limits` float64[n]: it must stay within ± these.
    - `first_signal`: the first point where it does not, None for none.
    - `run_length`: points between false alarms while nothing shifts.
    """

    path: Floats
    limits: Floats
    first_signal: int | None
    run_length: float
    outcome: Outcome

    @property
    def error_rate(self) -> str:
        """How often the chart is wrong, in words."""
        return runlength.in_words(self.run_length)


def ewma_chart(
    values: Sequence[float] | Floats, *, smoothing: float = 0.2, limit: float = 2.86, head_start: float = 0.0
) -> EwmaChart:
    """Chart standardised values by a two-sided EWMA with the limits it has in the long run.

        x <- (1 - lambda) x + lambda z, from 0;   signal at |x_t| > c (1 - head_start (1 - lambda)^t),
        c = limit sqrt(lambda / (2 - lambda))

    Without a signal it is steady only once it is longer than a shift of 1 sd takes to be found on average, else
    too few to tell.

    - `values`: float[n], in standard deviations from the baseline, in order of time, finite.
    - `smoothing` lambda in (0, 1]. `limit` > 0: in long-run sd of x. `head_start` in [0, 1): share of the limit.

    Raises Refusal for values outside these ranges.
    Source: Roberts 1959, Technometrics 1:239-250; Lucas & Saccucci 1990, Technometrics 32:1-12 (from memory).

    >>> chart = ewma_chart([0.2, -0.4, 0.1, 2.0, 1.8, 2.2, 1.9, 2.4])
    >>> chart.first_signal, chart.error_rate
    (5, 'on average one false alarm in 370 points')
    """
    z = standardised(values)
    run_length = runlength.ewma(limit, smoothing, head_start=head_start)
    level, path = 0.0, []
    for value in z:
        level = (1.0 - smoothing) * level + smoothing * float(value)
        path.append(level)
    narrowing = head_start * (1.0 - smoothing) ** np.arange(1, len(z) + 1)
    limits = limit * sqrt(smoothing / (2.0 - smoothing)) * (1.0 - narrowing)
    beyond = np.flatnonzero(np.abs(path) > limits)
    first = int(beyond[0]) if len(beyond) else None
    needed = runlength.ewma(limit, smoothing, shift=1.0, head_start=head_start)
    return EwmaChart(
        path=np.array(path),
        limits=np.asarray(limits),
        first_signal=first,
        run_length=run_length,
        outcome=signal_outcome(first, len(z), needed),
    )
