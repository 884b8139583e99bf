"""Could the order of the roll-out alone have made the difference? Every order of wards gives an answer.

With r = P y, what the fit without `trained` leaves, and x_pi the readings that would have come after sign-off had
the wards started in the order pi, each person as long after their ward's start as they truly were,

    T(pi) = x_pi' r = sum_w a[w, pi(w)],    p = share of orders with |T(pi) - mean T| >= |T(seen) - mean T|

a[w, k] sums r over the readings of ward w's people after they would be signed off had the ward started when ward k
did: suffix sums by person, made once, so that an order costs one addition a ward. Where wards could as well have
started in any order p is exact, whatever the months of a ward have in common.
Source: randomisation tests, Edgington 1980; for stepped roll-outs Ji and others 2017 (both from memory).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, permutations
from math import factorial

import numpy as np
from numpy.random import Generator

from browline.variation.arrays import Codes, Floats
from browline.variation.training.exposure import Bools
from browline.variation.training.orders import distinct_orders

ALL_UP_TO = 5_040
DRAWN = 9_999
FEWEST_ORDERS = 20
"""With fewer orders than these no order can reach one in twenty."""
_AT_ONCE = 2_000


@dataclass(frozen=True)
class Orders:
    """The test. `p` in (0, 1]; `orders`: how many orders differ; `tried`: how many were looked at, the seen one too.

    `p` is None where too few orders differ for it to reach 0.05.
    """

    p: float | None
    orders: int
    tried: int


def timetables(
    residual: Floats,
    person: Codes,
    time: Floats,
    acted_on: Bools,
    signed_off: Floats,
    home: Codes,
    starts: Floats,
) -> Floats:
    """``a`` float64[wards, wards]: ward w under the timetable of ward k.

    - `residual` float64[n], ``V^-1 (y - X beta)`` with V of everything, of the fit without `trained`, 1/°C.
    - `person`, `time`, `acted_on` of each reading; `signed_off` float64[people], hours, inf where never.
    - `home` int64[people], -1: no ward's, shifted with none; `starts` float64[wards], inf where not started.
    """
    delay = delays(signed_off, home, starts)
    counted = acted_on & (person >= 0)
    order = np.lexsort((time[counted], person[counted]))
    who, when = person[counted][order], time[counted][order]
    total = np.concatenate([[0.0], np.cumsum(residual[counted][order])])
    edge = np.searchsorted(who, np.arange(len(signed_off) + 1))
    sums = np.zeros((len(starts), len(starts)))
    for p in np.flatnonzero(home >= 0):
        times = when[edge[p] : edge[p + 1]]
        after = edge[p] + np.searchsorted(times, starts + delay[p], side="right")
        sums[home[p]] += total[edge[p + 1]] - total[after]
    return sums


def delays(signed_off: Floats, home: Codes, starts: Floats) -> Floats:
    """float64[people]: hours from the ward's start to the sign-off, inf where never signed off.

    Nobody knows when people of a ward that has not started would be signed off: they are given the delays of the
    other wards' people in turn.

    >>> delays(np.array([5.0, 9.0, np.inf]), np.array([0, 0, 1]), np.array([5.0, np.inf])).tolist()
    [0.0, 4.0, 0.0]
    """
    began = np.append(starts, np.inf)[home]
    started = np.isfinite(began)
    hours = np.full(len(signed_off), np.inf)
    hours[started] = signed_off[started] - began[started]
    unknown = np.flatnonzero(~started & (home >= 0))
    if started.any():
        hours[unknown] = np.sort(hours[started])[np.arange(len(unknown)) * 7919 % started.sum()]
    return hours


def permutation_test(a: Floats, starts: Floats, rng: Generator) -> Orders:
    """The test of all orders up to 5,040 of them, else of 9,999 drawn by `rng` and the one seen.

    A ward nobody of which charts (a row of nought) takes no part.
    """
    part = np.abs(a).sum(1) > 0
    a, starts = a[np.ix_(part, part)], starts[part]
    wards, orders = len(starts), distinct_orders(starts.tolist())
    if orders < FEWEST_ORDERS:
        return Orders(None, orders, 0)
    middle = float(a.sum()) / wards
    observed = abs(float(np.trace(a)) - middle)
    rounding = 1e-9 * (float(np.abs(a).sum()) + 1e-300)
    every = factorial(wards) <= ALL_UP_TO
    tried, beyond = (0, 0) if every else (1, 1)
    for batch in _all_orders(wards) if every else _drawn_orders(wards, rng):
        total = a[np.arange(wards), batch].sum(1)
        tried += len(batch)
        beyond += int((np.abs(total - middle) >= observed - rounding).sum())
    return Orders(beyond / tried, orders, tried)


def _all_orders(wards: int) -> Iterator[Codes]:
    every = permutations(range(wards))
    while batch := list(islice(every, _AT_ONCE)):
        yield np.array(batch, np.int64)


def _drawn_orders(wards: int, rng: Generator) -> Iterator[Codes]:
    for start in range(0, DRAWN, _AT_ONCE):
        rows = min(_AT_ONCE, DRAWN - start)
        yield rng.permuted(np.tile(np.arange(wards), (rows, 1)), axis=1)
