"""Shares over time: p chart, Laney's p′ chart, and exact limits for small wards.

With thousands of readings a month the binomial limits of a p chart lie so close that ordinary weeks fall
outside; p′ widens them by how much neighbouring points really differ. With few events neither is right, and the
exact chart takes their place.
"""

import numpy as np

from browline.audit.overtime.binomial import exact_limit
from browline.audit.overtime.counted import Baseline, Counted, Given
from browline.audit.overtime.proportion_chart import Method, ProportionChart, expected, read, sigma_z

# Fewest events (or non-events) expected at the middle point for limits in sd: common practice, no source.
FEWEST_EXPECTED = 5.0
# P(Z < -3): what lies beyond 3 sd on either side.
BEYOND_3_SD = 0.0013498980316301


def proportion_chart(counts: Given, totals: Given, baseline: Baseline = None) -> ProportionChart:
    """The chart that fits the numbers: p′ where events are many enough for it, exact limits otherwise.

    Arguments, raises: as `p_prime_chart`.

    >>> [proportion_chart(c * 6, [n] * 24).method.value for c, n in (([1, 0, 2, 1], 40), ([9, 11, 8, 12], 90))]
    ['exact', 'p-prime']
    """
    given = Counted.checked(counts, totals, baseline)
    return _p_prime(given) if expected(given) >= FEWEST_EXPECTED else _exact(given)


def p_chart(counts: Given, totals: Given, baseline: Baseline = None) -> ProportionChart:
    """Limits by chance alone: ``p ± 3 sqrt(p (1 - p) / n_i)``.

    Arguments, raises: as `p_prime_chart`. Source: Shewhart's limits, common to every text on the p chart.

    >>> chart = p_chart([9, 11, 8, 12] * 6, [90] * 24)
    >>> round(chart.centre, 3), round(float(chart.high[0]), 3), chart.outcome.value
    (0.111, 0.21, 'steady')
    """
    given = Counted.checked(counts, totals, baseline)
    return _by_sd(given, Method.P, 1.0)


def p_prime_chart(counts: Given, totals: Given, baseline: Baseline = None) -> ProportionChart:
    """Limits by chance and by how much neighbouring points differ.

        z_i = (p_i - p) / sqrt(p (1 - p) / n_i),   sigma_z = mean |z_i - z_(i-1)| / 1.128,
        limits  p ± 3 sqrt(p (1 - p) / n_i) max(1, sigma_z)

    A sigma_z under 1 is told but not used: reasons that last for counts to vary less than chance are rare, so it
    is mostly the luck of few points, and narrower limits would flag weeks no odder than counting itself makes.
    Neighbours make sigma_z blind to a single jump, and to a season slower than the points.

    - `counts`: int[n], events of each point in order of time. `totals`: int[n], what they are counted of, >= 1.
    - `baseline`: centre and spread are taken from the first so many points, or those marked; None for all.

    Too few to tell under 12 baseline points, or under 5 expected events at the middle one. Raises Refusal where a
    count is no part of its total or the baseline holds no point.
    Source: Laney 2002, Quality Engineering 14(4):531-537 (formula from memory); the floor of 1 is ours.

    >>> weeks = [200, 240, 170, 260] * 6, [2000] * 24
    >>> round(p_prime_chart(*weeks).sigma_z, 2), p_prime_chart(*weeks).outcome.value, p_chart(*weeks).outcome.value
    (4.15, 'steady', 'points-outside')
    """
    return _p_prime(Counted.checked(counts, totals, baseline))


def exact_chart(counts: Given, totals: Given, baseline: Baseline = None) -> ProportionChart:
    """Limits by exact binomial chance, 0.135 % on either side, for wards with few events.

    Points must differ by chance alone; a larger spread cannot be told from few events. Arguments, raises: as
    `p_prime_chart`, without the need for expected events. Source: as `exact_limit`.

    >>> chart = exact_chart([1, 0, 2, 1] * 6, [40] * 24)
    >>> round(float(chart.high[0]) * 40, 1), chart.outcome.value
    (4.7, 'steady')
    """
    return _exact(Counted.checked(counts, totals, baseline))


def _p_prime(given: Counted) -> ProportionChart:
    return _by_sd(given, Method.P_PRIME, max(1.0, sigma_z(given)))


def _by_sd(given: Counted, method: Method, inflation: float) -> ProportionChart:
    half = 3.0 * inflation * given.sd
    low, high = np.maximum(given.centre - half, 0.0), np.minimum(given.centre + half, 1.0)
    return read(given, method, low, high, inflation**2, expected(given) >= FEWEST_EXPECTED)


def _exact(given: Counted) -> ProportionChart:
    if 0.0 < given.centre < 1.0:
        low, high = (
            exact_limit(probability, given.centre, given.totals)
            for probability in (BEYOND_3_SD, 1.0 - BEYOND_3_SD)
        )
        return read(given, Method.EXACT, low, high, 1.0, True)
    # Nothing (or everything) in the baseline: no limit can be told from it.
    none = np.zeros(len(given.totals))
    return read(given, Method.EXACT, none, none + 1.0, 1.0, False)
