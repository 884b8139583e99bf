"""Since when? One step of a share over weeks, by exact evidence.

Under *no change* all weeks have one share; under *change in week k* one before and one from then on; every week
that leaves two on either side is as likely. Every share has the same Beta prior around the share of all weeks,
worth two of the rarer outcome: weak enough for any step, not so wide that small shares must change hugely.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.overtime.counted import Counted, Floats, Given
from browline.audit.overtime.outcome import Outcome

FEWEST_WEEKS, SIDE = 8, 2
PRIOR_EVENTS = 2.0
# A bet at fair odds passes 3 nats by chance in at most exp(-3), 1 of 20; honest wards do in under 1 of 100 (tests).
SURE = 3.0
CREDIBLE = 0.95


@dataclass(frozen=True)
class Step:
    """One step in a share.

    - `first`: the likeliest first week after it; `earliest`, `latest`: the weeks that hold 95 % of the likelihood.
      All are places in the given order.
    - `before`, `after`: shares on either side of `first`.
    - `evidence`: nats against no change; negative, it speaks for no change.
    """

    first: int
    earliest: int
    latest: int
    before: float
    after: float
    evidence: float
    outcome: Outcome

    @property
    def error_rate(self) -> str:
        """How often a step is told where there is none, in words."""
        return "fewer than one steady ward in 100 is told to have changed"


def step(counts: Given, totals: Given, *, dispersion: float = 1.0) -> Step | None:
    """The likeliest single step of a share, or None where the weeks are too few to tell (under eight).

        evidence = log mean_k [ m(before) m(after) / m(all) ],   m(y, n) = B(a + y, b + n - y) / B(a, b)

    Shifted from 3 nats on. Weeks that differ by more than chance are counted as fewer readings: y and n are
    divided by `dispersion`; sigma_z² of the p′ chart is one, as neighbours hardly see a single step.

    - `counts`, `totals`: int[n], events and readings of each week in order, total >= 1.
    - `dispersion`: variance of a week's count over the binomial one; under 1 counts as 1.

    Raises Refusal where a count is no part of its total.
    Source: exact evidence for a change point, Smith 1975, Biometrika 62:407-416 (from memory); the prior is ours.

    >>> found = step([2, 1, 2, 3, 2, 9, 11, 10, 12, 10], [100] * 10)
    >>> found.first, found.earliest, found.latest, found.outcome.value
    (5, 5, 5, 'shifted')
    """
    given = Counted.checked(counts, totals)
    if len(given.counts) < FEWEST_WEEKS:
        return None
    events, readings = np.cumsum(given.counts), np.cumsum(given.totals)
    split = np.arange(SIDE - 1, len(events) - SIDE)
    log = _evidence(events / max(1.0, dispersion), readings / max(1.0, dispersion), split)
    evidence = float(np.logaddexp.reduce(log) - np.log(len(log)))
    best = int(split[log.argmax()])
    credible = split[_credible_set(log)] + 1
    return Step(
        first=best + 1,
        earliest=int(credible.min()),
        latest=int(credible.max()),
        before=float(events[best] / readings[best]),
        after=float((events[-1] - events[best]) / (readings[-1] - readings[best])),
        evidence=evidence,
        outcome=Outcome.SHIFTED if evidence >= SURE else Outcome.STEADY,
    )


def _evidence(y: Floats, n: Floats, split: NDArray[np.int64]) -> Floats:
    """Log odds of a step after each of the weeks `split` against none; y, n float64[n]: sums up to each week."""
    from scipy.special import betaln

    p = (y[-1] + 0.5) / (n[-1] + 1.0)
    a, b = PRIOR_EVENTS * p / min(p, 1.0 - p), PRIOR_EVENTS * (1.0 - p) / min(p, 1.0 - p)

    def marginal(y: Floats, n: Floats) -> Floats:
        return np.asarray(betaln(a + y, b + n - y) - betaln(a, b))

    later = marginal(y[-1] - y[split], n[-1] - n[split])
    return np.asarray(marginal(y[split], n[split]) + later - marginal(y[-1], n[-1]))


def _credible_set(log: Floats) -> NDArray[np.int64]:
    """The fewest places that hold 95 % of the likelihood."""
    order = np.argsort(-log)
    total = np.cumsum(np.exp(log[order] - np.logaddexp.reduce(log)))
    return np.asarray(order[: int(np.searchsorted(total, CREDIBLE)) + 1])
