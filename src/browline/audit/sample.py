"""How many charts to look at by hand, which ones, and what the result says about all of them.

The interval is Wilson's (see `browline.quantities.shares`). Against the usual normal formula
``n = z² p q / h²`` it asks for about z², nearly 4, charts fewer where half are expected to meet the standard
(381 for 384, 93 for 96), and for more where nearly all or nearly none are: there the normal interval is too
narrow, and at 0 or 10 of 10 it has no width at all.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from browline.quantities.shares import Z95, wilson_around

Ints = NDArray[np.int64]

STAND_IN_SHARE, FEWEST_STAND_INS = 0.1, 2
ROUNDING = 1e-9


def charts_needed(half_width: float, expected: float = 0.5, population: int | None = None) -> int:
    """The fewest charts whose Wilson 95 % interval is no wider than twice `half_width`.

        m = z² (pq - 2h² + sqrt(pq² - 4h² pq + h²)) / 2h²,   n = m N / (m + N - 1)

    - `half_width` h: half the interval's width, 0 < h < 1 (0.05: give or take five points).
    - `expected` p: the share expected, 0 to 1; 0.5 is the safe one. q = 1 - p.
    - `population` N: how many charts there are; None where they are many more than are looked at.

    The first equation is ``h = z sqrt(m pq + z²/4) / (m + z²)``, half of Wilson's width, solved for m; the
    second is the finite population correction, Cochran 1977, Sampling Techniques, 3rd ed., eq. 4.4 (from
    memory).

    >>> charts_needed(0.05), charts_needed(0.10), charts_needed(0.05, population=1000)
    (381, 93, 276)
    """
    if not (0.0 < half_width < 1.0 and 0.0 <= expected <= 1.0):
        raise ValueError(f"half-width {half_width} or expected share {expected} is no share")
    pq, h2, z2 = expected * (1.0 - expected), half_width**2, Z95**2
    many = max(1.0, z2 * (pq - 2.0 * h2 + sqrt(pq * pq - 4.0 * h2 * pq + h2)) / (2.0 * h2))
    if population is not None:
        many = many * population / (many + population - 1.0)
    return ceil(many - ROUNDING)


def interval(meeting: int, sampled: int, population: int | None = None) -> tuple[float, float]:
    """Wilson's 95 % interval for the share in all charts, when `meeting` of `sampled` charts meet the standard.

    With `population` N the sample counts as ``n (N - 1) / (N - n)`` charts, because those looked at are
    known; when all were looked at nothing is left open. (0, 1) where none was looked at.

    >>> [round(x, 2) for x in interval(27, 30)], [round(x, 2) for x in interval(27, 30, population=60)]
    ([0.74, 0.97], [0.8, 0.95])
    """
    if not 0 <= meeting <= sampled or (population is not None and sampled > population):
        raise ValueError(f"{meeting} of {sampled} (of {population}) is not a share of a count")
    if sampled == 0:
        return 0.0, 1.0
    proportion = meeting / sampled
    if population is None:
        low, high = wilson_around(proportion, sampled)
        return max(0.0, low), min(1.0, high)
    if sampled == population:
        return proportion, proportion
    low, high = wilson_around(proportion, sampled * (population - 1) / (population - sampled))
    return max(meeting / population, low), min(1.0 - (sampled - meeting) / population, high)


@dataclass(frozen=True)
class Drawn:
    """Charts drawn from strata: `stratum` and `place` (0-based, within the stratum) of each; int64.

    `stand_in`: bool. Those that are none come first in any order; stand-ins follow in the order in which they are to
    be used: one takes the place of a chart of its own stratum that cannot be found or read, never of one
    whose answer is unwelcome.
    """

    stratum: Ints
    place: Ints
    stand_in: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.place)


def draw(sizes: Sequence[int], count: int, rng: Generator) -> Drawn:
    """`count` charts without replacement from strata of these sizes, in proportion to them, with stand-ins.

    Every chart of a stratum is as likely as any other. All charts, where `count` asks for no fewer.
    """
    if count < 1 or sum(sizes) < 1:
        raise ValueError(f"{count} charts cannot be drawn from {sum(sizes)}")
    parts = []
    for stratum, (size, wanted) in enumerate(zip(sizes, allocation(sizes, count), strict=True)):
        more = max(FEWEST_STAND_INS, ceil(STAND_IN_SHARE * wanted)) if wanted else 0
        place = rng.choice(size, min(size, int(wanted) + more), replace=False)
        parts.append((np.full(len(place), stratum), place, np.arange(len(place)) >= wanted))
    strata, places, stand_ins = (np.concatenate(column) for column in zip(*parts, strict=True))
    order = np.argsort(stand_ins, kind="stable")
    return Drawn(strata[order], places[order], stand_ins[order])


def allocation(sizes: Sequence[int], count: int) -> Ints:
    """`count` charts shared out in proportion to the strata's sizes, by largest remainders.

    Every stratum that holds any gets one where `count` reaches that far.

    >>> allocation([600, 300, 99, 1], 10).tolist()
    [5, 3, 1, 1]
    """
    size = np.asarray(sizes, dtype=np.int64)
    count = min(count, int(size.sum()))
    least = ((size > 0) & (count >= (size > 0).sum())).astype(np.int64)
    due = count * size / size.sum()
    out: Ints = np.maximum(np.floor(due).astype(np.int64), least)
    while (remaining := count - int(out.sum())) != 0:
        step = 1 if remaining > 0 else -1
        allowed = (out + step >= least) & (out + step <= size)
        out[np.argmax(np.where(allowed, step * (due - out), -np.inf))] += step
    return out
