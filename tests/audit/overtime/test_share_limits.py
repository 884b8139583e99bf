"""Charts of shares: limits as their formulas have them, and false alarms as often as is said."""

import numpy as np
import pytest
from scipy.stats import betabinom, binom

from browline.audit.overtime import Method, Outcome, exact_chart, p_chart, p_prime_chart, proportion_chart
from browline.audit.overtime.binomial import exact_limit, outside_probability
from browline.errors import Refusal


def overdispersed(rng, share, total, points, dispersion):
    correlation = (dispersion - 1) / (total - 1)
    size = 1 / correlation - 1
    return rng.binomial(total, rng.beta(share * size, (1 - share) * size, points))


def test_laneys_sigma_by_hand():
    """Laney 2002 (from memory): mean moving range of z over 1.128. Counts 10, 30, 20 of 200: z -10/6, 10/6, 0 …"""
    counts = [10, 30, 20, 20]
    sd = np.sqrt(0.1 * 0.9 / 200)
    z = np.array([-0.05, 0.05, 0.0, 0.0]) / sd
    by_hand = (abs(z[1] - z[0]) + abs(z[2] - z[1]) + abs(z[3] - z[2])) / 3 / 1.128
    chart = p_prime_chart(counts, [200] * 4)
    assert chart.sigma_z == pytest.approx(by_hand) == pytest.approx(2.0896, abs=1e-4)
    assert chart.high == pytest.approx(0.1 + 3 * sd * by_hand)
    assert chart.low == pytest.approx(np.maximum(0.0, 0.1 - 3 * sd * by_hand))


def test_p_limits_follow_each_points_total():
    chart = p_chart([10, 40], [100, 400])
    assert chart.high == pytest.approx([0.1 + 3 * np.sqrt(0.09 / 100), 0.1 + 3 * np.sqrt(0.09 / 400)])


def test_a_spread_under_chance_is_told_but_not_used():
    even = p_prime_chart([10] * 24, [100] * 24)
    assert even.sigma_z == 0.0
    assert even.high == pytest.approx(p_chart([10] * 24, [100] * 24).high)


def test_a_baseline_freezes_centre_and_limits():
    counts = np.array([10, 12, 8, 11] * 4 + [30] * 8)
    totals = np.full(24, 100)
    by_count, by_mask = (p_prime_chart(counts, totals, b) for b in (16, np.arange(24) < 16))
    alone = p_prime_chart(counts[:16], totals[:16])
    assert by_count.centre == by_mask.centre == alone.centre
    assert by_count.sigma_z == by_mask.sigma_z == alone.sigma_z
    assert by_count.outside[16:].all() and not by_count.outside[:16].any()
    assert by_count.outcome is Outcome.OUTSIDE


@pytest.mark.parametrize(
    ("chance", "share", "n", "own"),
    [
        (0.975, 0.05, 50, 0.10983),
        (0.999, 0.05, 50, 0.15799),
        (0.025, 0.05, 100, 0.00612),
        (0.975, 0.05, 100, 0.09191),
        (0.999, 0.05, 100, 0.12464),
        (0.025, 0.10, 50, 0.01386),
        (0.975, 0.10, 50, 0.17972),
        (0.999, 0.10, 50, 0.24013),
        (0.001, 0.10, 100, 0.01418),
        (0.025, 0.10, 100, 0.04038),
        (0.975, 0.10, 100, 0.15772),
        (0.999, 0.10, 100, 0.19836),
        (0.001, 0.20, 100, 0.08098),
        (0.025, 0.20, 100, 0.11974),
        (0.975, 0.20, 100, 0.27648),
        (0.999, 0.20, 100, 0.32677),
    ],
)
def test_exact_limits(chance, share, n, own):
    """Spiegelhalter 2005 (formula from memory), worked out separately beforehand."""
    assert exact_limit(chance, share, np.array([n]))[0] == pytest.approx(own, abs=6e-6)


@pytest.mark.parametrize(("chance", "share", "n"), [(0.001, 0.05, 50), (0.025, 0.05, 50), (0.001, 0.05, 100)])
def test_a_low_limit_under_zero_is_no_limit(chance, share, n):
    assert exact_limit(chance, share, np.array([n]))[0] < 0


def test_exact_limits_lie_between_the_quantiles_of_scipy():
    n = np.arange(1, 400)
    for share in (0.003, 0.11, 0.9):
        for chance in (0.00135, 0.5, 0.99865):
            r = exact_limit(chance, share, n) * n
            quantile = binom.ppf(chance, n, share)
            assert ((quantile - 1 - 1e-9 <= r) & (r <= quantile + 1e-9)).all()


@pytest.mark.parametrize(
    ("total", "share", "dispersion"), [(60, 0.04, 1.0), (60, 0.04, 1.7), (900, 0.3, 6.0)]
)
def test_the_chance_of_a_point_outside_is_scipys(total, share, dispersion):
    low, high = max(0.0, share - 0.06), share + 0.08
    if dispersion == 1.0:
        law = binom(total, share)
    else:
        size = (total - 1) / (dispersion - 1) - 1
        law = betabinom(total, share * size, (1 - share) * size)
        assert law.var() == pytest.approx(dispersion * total * share * (1 - share))
    expected = law.cdf(np.ceil(low * total - 1e-9) - 1) + law.sf(np.floor(high * total + 1e-9))
    assert outside_probability(low, high, share, total, dispersion) == pytest.approx(expected, rel=1e-9)


def test_every_reading_of_a_point_alike_has_no_run_length_of_its_own():
    """Three readings cannot vary more than three times as much as chance; then all are events, or none."""
    assert outside_probability(0.0, 0.9, 0.1, 3, 9.0) == pytest.approx(0.1, rel=0.01)


@pytest.mark.parametrize(
    ("share", "total", "dispersion", "points"),
    [(0.05, 200, 1, 52), (0.05, 2000, 9, 52), (0.02, 300, 1.5, 52)],
)
def test_p_prime_cries_wolf_as_rarely_as_it_says(share, total, dispersion, points, capsys):
    """Weeks that differ three times as much as chance: a p chart flags a third of them."""
    rng = np.random.default_rng(9)
    rows = [
        rng.binomial(total, share, points)
        if dispersion == 1
        else overdispersed(rng, share, total, points, dispersion)
        for _ in range(150)
    ]
    charts = [p_prime_chart(row, [total] * points) for row in rows]
    found = np.mean([c.outside.mean() for c in charts])
    error_rate = np.mean([1 / c.run_length for c in charts])
    plain = np.mean([p_chart(row, [total] * points).outside.mean() for row in rows])
    with capsys.disabled():
        print(
            f"\npoints outside, dispersion {dispersion}: p′ {found:.2%} (said {error_rate:.2%}), p {plain:.2%}",
            end=" ",
        )
    assert found < 1.3 * error_rate + 0.001
    assert plain > 0.2 or dispersion < 9


def test_exact_limits_hold_where_sd_limits_do_not(capsys):
    """One event a week in 50 readings: 3 sd is passed by chance in about 1 of 100 weeks, the exact limit is not."""
    rng = np.random.default_rng(10)
    rows = rng.binomial(50, 0.02, (300, 52))
    by_sd, exact = (np.mean([f(r, [50] * 52).outside.mean() for r in rows]) for f in (p_chart, exact_chart))
    with capsys.disabled():
        print(f"\nsmall ward, points outside: 3 sd {by_sd:.2%}, exact {exact:.2%}", end=" ")
    assert exact < 0.005 < by_sd


def test_a_planted_excess_is_found():
    """The size published by Jackson et al. 2023, Sci Rep: about one reading in nine."""
    rng = np.random.default_rng(11)
    counts = rng.binomial(150, np.repeat([0.01, 0.11], [20, 6]))
    chart = proportion_chart(counts, [150] * 26, baseline=20)
    assert chart.method is Method.EXACT
    assert chart.outside[20:].all() and not chart.outside[:20].any()


def test_the_chart_is_chosen_by_how_many_events_are_expected():
    assert proportion_chart([4, 6] * 12, [100] * 24).method is Method.P_PRIME
    assert proportion_chart([4, 5] * 12, [100] * 24).method is Method.EXACT
    assert proportion_chart([96, 95] * 12, [100] * 24).method is Method.EXACT


def test_too_few_points_or_events_are_too_few_to_tell():
    assert p_prime_chart([10] * 11, [100] * 11).outcome is Outcome.TOO_FEW
    assert p_prime_chart([10] * 12, [100] * 12).outcome is Outcome.STEADY
    assert p_prime_chart([10] * 24, [100] * 24, baseline=11).outcome is Outcome.TOO_FEW
    assert p_prime_chart([1] * 24, [100] * 24).outcome is Outcome.TOO_FEW
    assert exact_chart([1] * 24, [100] * 24).outcome is Outcome.STEADY
    assert exact_chart([0] * 24, [100] * 24).outcome is Outcome.TOO_FEW
    assert p_chart([0] * 24, [100] * 24).outcome is Outcome.TOO_FEW


def test_it_says_how_often_it_is_wrong():
    assert p_chart([1000] * 24, [10000] * 24).error_rate.startswith("on average one false alarm in 3")
    assert p_chart([1] * 24, [50] * 24).run_length < 150


@pytest.mark.parametrize(
    ("counts", "totals", "baseline"),
    [
        ([1], [0], None),
        ([0], [0], None),
        ([3], [2], None),
        ([-1], [2], None),
        ([1, 1], [2], None),
        ([], [], None),
        ([1, 1], [2, 2], 0),
        ([1, 1], [2, 2], [True]),
        ([1, 1], [2, 2], [False, False]),
    ],
)
def test_what_is_no_share_or_no_baseline_is_refused(counts, totals, baseline):
    with pytest.raises(Refusal):
        proportion_chart(counts, totals, baseline)
