"""What CUSUM and EWMA share: the values they take, and when silence may be called steady."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from browline.audit.overtime.outcome import Outcome
from browline.errors import Refusal

Floats = NDArray[np.float64]


def standardised(values: Sequence[float] | Floats) -> Floats:
    """The values as float64[n]; Refusal where there is none or one is no finite number.

    >>> standardised([0, 1.5])
    array([0. , 1.5])
    """
    given = np.asarray(values, np.float64)
    if given.ndim != 1 or not len(given) or not np.isfinite(given).all():
        raise Refusal(
            "A chart was asked of no values, or of values that are no numbers.",
            "One finite number for each point is wanted, in standard deviations from the baseline.",
            "Leave points without readings out, and standardise by a baseline that varies.",
        )
    return given


def signal_outcome(first_signal: int | None, n: int, needed: float) -> Outcome:
    """Shifted at a signal; else steady from `needed` points on, the average that a shift of 1 sd takes.

    >>> signal_outcome(None, 8, 9.9).value, signal_outcome(None, 52, 9.9).value, signal_outcome(3, 8, 9.9).value
    ('too-few-to-tell', 'steady', 'shifted')
    """
    if first_signal is not None:
        return Outcome.SHIFTED
    return Outcome.STEADY if n >= needed else Outcome.TOO_FEW
