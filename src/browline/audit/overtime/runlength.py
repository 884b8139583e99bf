"""Average run lengths: how many points until a CUSUM, EWMA or Shewhart chart signals.

Points are independent N(shift, 1). The chart's state x moves by a density, so the average run length from a
state u solves a linear integral equation of the second kind; Gauss-Legendre nodes turn it into a small linear
system (Nyström). All values are zero state: the chart starts at its centre, or at its head start, when the
shift is already there.

Source: Page 1954, Biometrika 41:100-115 (the equation for CUSUM); Crowder 1987, Technometrics 29:401-407 (for
EWMA); Lucas & Crosier 1982, Technometrics 24:199-205 (head start); formulas from memory.
"""

from collections.abc import Callable
from functools import lru_cache
from math import ceil, floor, log, log10, sqrt

import numpy as np

from browline import display
from browline.audit.overtime.integral import Floats, density, nodes
from browline.errors import Refusal

# Points until a head start is forgotten to this share of the limit.
FORGOTTEN = 1e-7
# Limits looked through for a wanted run length, in sd.
LOWEST, HIGHEST = 0.01, 30.0


def shewhart(limit: float = 3.0, shift: float = 0.0) -> float:
    """Points until one lies beyond ± `limit`: ``1 / (Phi(-limit - shift) + Phi(-limit + shift))``.

    - `limit` > 0 and `shift`, in standard deviations of a point.

    >>> round(shewhart(), 1), round(shewhart(shift=1.0), 1)
    (370.4, 43.9)
    """
    from scipy.special import ndtr

    return float(1.0 / (ndtr(-limit - shift) + ndtr(-limit + shift)))


@lru_cache(maxsize=1024)
def cusum_one_sided(
    limit: float, reference: float = 0.5, shift: float = 0.0, head_start: float = 0.0
) -> float:
    """Points until the upper CUSUM ``S <- max(0, S + z - k)`` passes `limit` h.

        L(u) = 1 + L(0) Phi(k - u - shift) + integral_0^h L(x) phi(x + k - u - shift) dx,   at u = head_start h

    - `limit` h > 0, `reference` k >= 0, `shift`: in standard deviations of a point.
    - `head_start` in [0, 1): where it starts, as a share of h.

    Returns the average run length in points. Raises Refusal for values outside these ranges.

    >>> round(cusum_one_sided(3.0), 1)  # 117.59 in Brook & Evans 1972, by a coarser method
    117.6
    """
    from scipy.special import ndtr

    _checked(limit, head_start)
    x, w = nodes(0.0, limit, limit)
    # The atom at zero is one more state, first in the system.
    states = np.concatenate([[0.0], x])
    to_zero = ndtr(reference - states - shift)
    onward = w * density(x[None, :] + reference - states[:, None] - shift)
    moves = np.column_stack([to_zero, onward])
    lengths = np.linalg.solve(np.eye(len(states)) - moves, np.ones(len(states)))
    u = head_start * limit
    from_u = np.concatenate([[ndtr(reference - u - shift)], w * density(x + reference - u - shift)])
    return float(1.0 + from_u @ lengths)


def cusum(limit: float, reference: float = 0.5, shift: float = 0.0, head_start: float = 0.0) -> float:
    """Points until either side of a two-sided CUSUM passes `limit`, from the two one-sided run lengths.

        L = (L+(s) L-(0) + L+(0) L-(s) - L+(0) L-(0)) / (L+(0) + L-(0)),   without head start 1/L = 1/L+ + 1/L-

    Valid where one side is at zero whenever the other signals, which holds for head starts s up to h/2 + k.
    Arguments as in `cusum_one_sided`. Raises Refusal for a head start beyond that.
    Source: Lucas & Crosier 1982, appendix (from memory); the condition is our own argument: until one side is
    reset the two sum to 2s - 2kt.

    >>> round(cusum(4.0), 1), round(cusum(4.0, shift=1.0), 2), round(cusum(4.0, head_start=0.5), 1)
    (167.7, 8.38, 148.7)
    """
    if head_start * limit > limit / 2 + reference:
        raise Refusal(
            f"A head start of {head_start:g} of the limit was asked for.",
            "The two sides can be put together only up to half the limit and the reference value.",
            "Use a head start of 0.5 or less.",
        )
    up, down = (cusum_one_sided(limit, reference, way) for way in (shift, -shift))
    if head_start == 0.0:
        return up * down / (up + down)
    up_s, down_s = (cusum_one_sided(limit, reference, way, head_start) for way in (shift, -shift))
    return (up_s * down + up * down_s - up * down) / (up + down)


@lru_cache(maxsize=1024)
def ewma(limit: float, smoothing: float = 0.2, shift: float = 0.0, head_start: float = 0.0) -> float:
    """Points until the EWMA ``x <- (1 - lambda) x + lambda z`` leaves ± c, c = limit sqrt(lambda / (2 - lambda)).

        L(u) = 1 + 1/lambda integral_{-c}^{c} L(x) phi((x - (1 - lambda) u) / lambda - shift) dx,   at u = 0

    With a head start the limits at point t are ± (c - head_start c (1 - lambda)^t), which is what two EWMAs
    started at ± head_start c do; then L is followed back from the settled equation point by point.

    - `limit` > 0: in asymptotic standard deviations of the EWMA. `smoothing` lambda in (0, 1].
    - `shift`: in standard deviations of a point. `head_start` in [0, 1): as a share of the limit.

    Returns the average run length in points. Raises Refusal for values outside these ranges.
    Source: Crowder 1987; Lucas & Saccucci 1990, Technometrics 32:1-12, for the head start (from memory).

    >>> round(ewma(3.071, 0.5)), round(ewma(3.071, 0.5, shift=1.0), 1)
    (500, 17.5)
    """
    _checked(limit, head_start)
    if not 0.0 < smoothing <= 1.0:
        raise Refusal(
            f"A smoothing of {smoothing:g} was asked for.",
            "It has to lie over 0 and up to 1.",
            "Use 0.2 where nothing speaks for another.",
        )
    c = limit * sqrt(smoothing / (2.0 - smoothing))

    def moves(u: Floats, x: Floats, w: Floats) -> Floats:
        carried = (1.0 - smoothing) * u[:, None]
        return np.asarray(w * density((x[None, :] - carried) / smoothing - shift) / smoothing)

    x, w = nodes(-c, c, 2.0 * c / smoothing)
    lengths = np.linalg.solve(np.eye(len(x)) - moves(x, x, w), np.ones(len(x)))
    for point in range(_points_to_settle(smoothing, head_start), 0, -1):
        narrowed = c * (1.0 - head_start * (1.0 - smoothing) ** point)
        earlier, weights = nodes(-narrowed, narrowed, 2.0 * c / smoothing)
        # `lengths` at the nodes of this point's limits, from those of the next.
        lengths, x, w = 1.0 + moves(earlier, x, w) @ lengths, earlier, weights
    return float(1.0 + (moves(np.zeros(1), x, w) @ lengths)[0])


def limit_for(run_length: float, average_run_length: Callable[[float], float]) -> float:
    """The limit with the in-control average run length `run_length`: the root h of ``L(h) = run_length``.

    - `run_length` > 1: points. `average_run_length` L: limit -> in-control average run length, rising.

    Returns the limit to about 1e-8. Raises Refusal where no limit between 0.01 and 30 gives it.

    >>> round(limit_for(370, lambda h: cusum(h, reference=0.5)), 2), round(limit_for(500, ewma), 3)
    (4.77, 2.962)
    """
    from scipy.optimize import brentq

    high = LOWEST
    while high < HIGHEST and average_run_length(high) < run_length:
        high = min(HIGHEST, high * 1.5)
    if high == LOWEST or average_run_length(high) < run_length:
        shortest = average_run_length(LOWEST)
        raise Refusal(
            f"A limit was asked for with one false alarm in {run_length:g} points.",
            f"One in more than {display.significant(shortest)} points is wanted,"
            f" and no more than a limit of {HIGHEST:g} gives.",
            "Ask for one in a few hundred.",
        )
    return float(brentq(lambda h: log(average_run_length(h)) - log(run_length), LOWEST, high, xtol=1e-9))


def in_words(run_length: float) -> str:
    """An in-control average run length as a reader says it, to two figures.

    >>> in_words(370.4), in_words(26.45)
    ('on average one false alarm in 370 points', 'on average one false alarm in 26 points')
    """
    if run_length >= 1e6:
        return "on average less than one false alarm in a million points"
    unit = 10.0 ** max(0, floor(log10(run_length)) - 1)
    return f"on average one false alarm in {display.number(round(round(run_length / unit) * unit))} points"


def _points_to_settle(smoothing: float, head_start: float) -> int:
    """Points until the head start moves the limits by no more than `FORGOTTEN` of themselves."""
    if head_start <= FORGOTTEN or smoothing == 1.0:
        return 0
    return ceil(log(FORGOTTEN / head_start) / log(1.0 - smoothing))


def _checked(limit: float, head_start: float) -> None:
    if not (limit > 0.0 and 0.0 <= head_start < 1.0):
        raise Refusal(
            f"A limit of {limit:g} and a head start of {head_start:g} of it were asked for.",
            "The limit has to lie over 0, the head start from 0 up to but not at 1.",
            "Use `limit_for` to find a limit for the false alarms you can bear.",
        )
