"""Excess, tails and discoveries against general libraries and simulation."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import proportion_confint

from browline.audit.discovery import discoveries
from browline.audit.excess import Excess
from browline.audit.tails import binomial_upper_tail, lower_tail, upper_tail


def test_tails_are_those_of_the_general_library():
    for count, mean in ((0, 2.0), (3, 1.5), (12, 4.0)):
        assert upper_tail(count, mean, mean) == pytest.approx(stats.poisson.sf(count - 1, mean))
        assert lower_tail(count, mean, mean) == pytest.approx(stats.poisson.cdf(count, mean))
        size, success = mean**2 / (2 * mean - mean), mean / (2 * mean)
        assert upper_tail(count, mean, 2 * mean) == pytest.approx(stats.nbinom.sf(count - 1, size, success))
        assert lower_tail(count, mean, 2 * mean) == pytest.approx(stats.nbinom.cdf(count, size, success))
    assert binomial_upper_tail(7, 20, 0.2) == pytest.approx(stats.binom.sf(6, 20, 0.2))


def test_discoveries_are_those_of_the_general_library():
    rng = np.random.default_rng(1)
    for m in (1, 7, 200):
        p = rng.random(m) ** 3
        expected = multipletests(p, alpha=0.1, method="fdr_bh")[0]
        assert discoveries(p, 0.1).tolist() == expected.tolist()


def test_without_anything_expected_the_interval_is_wilsons():
    excess = Excess(30, 27, 1e-9, 1e-18)
    low, high = proportion_confint(27, 30, method="wilson")
    assert excess.interval == pytest.approx((low, high), abs=1e-6)  # 74 to 97 %


def test_intervals_hold_the_planted_share_and_power_is_as_stated():
    """Recovery from simulation: honest odds c known up to a fit of stated variance, a share overwritten."""
    rng, n, share, honest = np.random.default_rng(2), 400, 0.06, 0.08
    held = seen = 0
    least = []
    for _ in range(4000):
        odds = honest / (1 - honest) * np.exp(0.1 * rng.standard_normal())
        chance = share + (1 - share) * honest
        observed = rng.binomial(n, chance)
        others = n - observed
        expected = odds * others
        excess = Excess(n, observed, expected, expected**2 * (0.01 + 1 / others))
        low, high = excess.interval
        held += low <= share <= high
        seen += excess.p_beyond(0.0) < 0.01
        least.append(excess.least(0.0, 0.01))
    assert 0.93 <= held / 4000 <= 0.97
    assert np.mean(least) == pytest.approx(0.06, abs=0.01)
    assert 0.7 <= seen / 4000 <= 0.9


def test_the_interval_is_that_of_the_two_independent_parts():
    """Oracle: p and c drawn anew; at p near 0.2 and c near 0.5 leaving either factor out misses by a third."""
    rng, n = np.random.default_rng(3), 2000
    share, odds, log_sd = 0.1, 0.5, 0.02
    p = (share + odds) / (1 + odds)
    observed = n * p
    excess = Excess(
        n, observed, odds * (n - observed), (odds * (n - observed)) ** 2 * (log_sd**2 + 1 / (n - observed))
    )
    drawn_p = rng.binomial(n, p, 200_000) / n
    drawn_c = odds * np.exp(log_sd * rng.standard_normal(200_000))
    low, high = np.quantile(drawn_p - drawn_c * (1 - drawn_p), [0.025, 0.975])
    assert excess.interval == pytest.approx((low, high), abs=0.004)
    assert excess.standard_error(share) == pytest.approx((high - low) / 3.92, rel=0.03)


def test_all_readings_alike_still_have_an_answer():
    excess = Excess(40, 40, 1e-6, 1e-12)
    assert excess.proportion == pytest.approx(1.0)
    assert 0.8 < excess.interval[0] < 1.0 and excess.p_beyond(0.01) < 1e-9


def test_power_is_as_stated_where_many_wards_and_numbers_are_looked_at():
    """Recovery from simulation far out in the tail, where a normal quantile would promise 8 in 10 and keep 5."""
    rng, n, odds, far = np.random.default_rng(3), 300, 0.01, 4.3
    least = Excess(n, 3, odds * (n - 3), 1e-9).least(0.005, stats.norm.sf(far))
    observed = rng.binomial(n, (least + odds) / (1 + odds), 2000)
    excesses = [Excess(n, y, odds * (n - y), 1e-9) for y in observed]
    seen = np.mean([e.p_beyond(0.005) <= stats.norm.sf(far) for e in excesses])
    assert 0.7 <= seen <= 0.9
