"""Several measures looked at together: chances enlarged so that one false claim among all is as rare as said."""

from collections.abc import Sequence

import numpy as np


def holm(p: Sequence[float]) -> list[float]:
    """Holm's adjusted chances, in the order given: ``max over j <= i of min(1, (m - j + 1) p_(j))``.

    Raises ValueError for what is no chance. Source: Holm 1979, Scand J Stat 6:65 (from memory).

    >>> holm([0.01, 0.04, 0.03])
    [0.03, 0.06, 0.06]
    """
    chances = np.asarray(p, float)
    if not np.all((chances >= 0) & (chances <= 1)):
        raise ValueError("chances lie from 0 to 1")
    order = np.argsort(chances, kind="stable")
    enlarged = np.maximum.accumulate(chances[order] * np.arange(len(chances), 0, -1)).clip(max=1.0)
    out = np.empty(len(chances))
    out[order] = enlarged
    return [float(a) for a in out]
