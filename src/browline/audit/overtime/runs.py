"""Run charts with rules that grow with the number of points.

A rule of fixed length ("six in a row on one side") cries wolf the more often the longer the chart: 1 steady
chart in 100 at 12 points, 47 in 100 at 52. Here both rules depend on n, and the chance that a steady chart
breaks one of them is counted exactly and told with the result.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, log2

import numpy as np
from numpy.typing import NDArray

from browline import display
from browline.audit.overtime.outcome import Outcome
from browline.errors import Refusal

Floats = NDArray[np.float64]

FEWEST_USEFUL = 10
# The 5 % quantile, kept whole so that long charts do not overflow.
ONE_IN = 20


@dataclass(frozen=True)
class Runs:
    """A run chart read by its rules.

    - `median`: centre of all points. `useful`: points not on it.
    - `longest_run`, `longest_allowed`; `crossings`, `crossings_needed`: shifted where a run is longer, or the
      crossings fewer.
    - `false_signals`: the chance that a steady chart with as many points above and below breaks a rule, exact.
    """

    median: float
    useful: int
    longest_run: int
    longest_allowed: int
    crossings: int
    crossings_needed: int
    false_signals: float
    outcome: Outcome

    @property
    def error_rate(self) -> str:
        """How often the rules are wrong, in words."""
        wrong = display.decimal(100 * self.false_signals, 0)
        return f"about {wrong} of 100 steady charts this long would be called shifted"


def read_runs(values: Sequence[float] | Floats) -> Runs:
    """Read a run chart: longest run on one side of the median, and crossings of it.

        shifted  <=>  longest run > round(log2 n + 3)  or  crossings < q,  q = 5 % quantile of Bin(n - 1, 1/2)

    with n useful points; those on the median are left out. Under ten useful points it is too few to tell.

    - `values`: float[m], any unit, in order of time, finite.

    Raises Refusal where a value is not finite or none is given.
    Source: Anhøj & Olesen 2014, PLoS ONE 9(11):e113825 (formula from memory); the chance of a false signal is
    our own count.

    >>> read = read_runs([3, 5, 4, 2, 5, 3, 2, 5, 1, 4, 6, 7])
    >>> read.longest_run, read.longest_allowed, read.crossings, read.crossings_needed, read.outcome.value
    (2, 6, 7, 2, 'steady')
    """
    given = np.asarray(values, np.float64)
    if given.ndim != 1 or not len(given) or not np.isfinite(given).all():
        raise Refusal(
            "A run chart was asked of no values, or of values that are no numbers.",
            "One finite number for each point is wanted.",
            "Leave points without readings out.",
        )
    median = float(np.median(given))
    above = given[given != median] > median
    n, high = len(above), int(above.sum())
    changes = np.flatnonzero(above[1:] != above[:-1])
    longest = int(np.diff(np.concatenate([[-1], changes, [n - 1]])).max()) if n else 0
    allowed, needed = longest_allowed(n), crossings_needed(n)
    broken = longest > allowed or len(changes) < needed
    return Runs(
        median=median,
        useful=n,
        longest_run=longest,
        longest_allowed=allowed,
        crossings=len(changes),
        crossings_needed=needed,
        false_signals=false_signals(high, n - high, allowed, needed),
        outcome=Outcome.TOO_FEW if n < FEWEST_USEFUL else Outcome.SHIFTED if broken else Outcome.STEADY,
    )


def longest_allowed(n: int) -> int:
    """``round(log2 n + 3)``, the longest run that is still ordinary among `n` useful points; 0 for none.

    >>> longest_allowed(12), longest_allowed(24), longest_allowed(52)
    (7, 8, 9)
    """
    return round(log2(n) + 3) if n else 0


def crossings_needed(n: int) -> int:
    """The fewest crossings that are still ordinary: least c with ``P(Bin(n - 1, 1/2) <= c) >= 0.05``.

    >>> crossings_needed(12), crossings_needed(24), crossings_needed(52)
    (3, 8, 20)
    """
    total, c = 0, -1
    while n > 1 and ONE_IN * total < 2 ** (n - 1):
        c += 1
        total += comb(n - 1, c)
    return max(0, c)


def false_signals(above: int, below: int, allowed: int, needed: int) -> float:
    """The chance that points in random order have a run over `allowed` or under `needed` crossings.

    An order with k runs is a composition of `above` and one of `below`, of ceil(k/2) and floor(k/2) parts, each
    part at most `allowed`; so with c(m, j) compositions of m into j such parts

        P(steady) = sum_j [ 2 c(a,j) c(b,j) + c(a,j+1) c(b,j) + c(a,j) c(b,j+1) ] / C(a + b, a)

    over the terms with k - 1 >= `needed` crossings. `above`, `below` >= 0 points on either side. Returns a
    chance in [0, 1].
    Source: Wald & Wolfowitz 1940 count runs so (from memory); the bound on the parts is ours.

    >>> round(false_signals(6, 6, 5, 0), 4)  # six or more in a row among twelve: 12 orders of 924
    0.013
    """
    if min(above, below) == 0:
        return 0.0
    parts = min(above, below) + 1
    a, b = (_compositions(m, parts, allowed) for m in (above, below))
    # Each composition of m is weighted by 2^-m against overflow, so the orders are divided by C(n, a) 2^-n.
    log2_orders = _log2_comb(above + below, above) - above - below
    steady = sum(
        weight
        for j in range(1, parts + 1)
        for crossings, weight in (
            (2 * j - 1, 2 * a[j] * b[j]),
            (2 * j, a[j + 1] * b[j] + a[j] * b[j + 1]),
        )
        if crossings >= needed
    )
    return float(min(1.0, max(0.0, 1.0 - steady / 2.0**log2_orders)))


def _compositions(m: int, parts: int, longest: int) -> Floats:
    """``c(m, j) 2^-m`` for j = 0 .. parts + 1: compositions of m into j parts, none over `longest`."""
    part = np.concatenate([[0.0], 0.5 ** np.arange(1, longest + 1)])
    ways, weights = np.eye(1, m + 1)[0], [0.0]
    for _ in range(parts + 1):
        ways = np.convolve(ways, part)[: m + 1]
        weights.append(float(ways[m]))
    return np.array(weights)


def _log2_comb(n: int, k: int) -> float:
    return log2(comb(n, k))
