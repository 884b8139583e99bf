"""Funnel plots: limits, spread between wards, and who is flagged how often."""

import numpy as np
import pytest

from browline.audit.overtime import FunnelPosition, additive, funnel, multiplicative
from browline.audit.overtime.between import DRAWN_IN, DRAWN_IN_SQUARE, centre_and_overdispersion
from browline.errors import Refusal

NAMES = [f"ward {i}" for i in range(40)]


def hospital(rng, wards, tau, proportion=0.05):
    totals = np.exp(rng.uniform(np.log(50), np.log(5000), wards)).astype(int)
    return rng.binomial(totals, np.clip(rng.normal(proportion, tau, wards), 0, 1)), totals


def looked_at(wards, tau, family, times=150):
    """Shares of honest wards outside (all, those over 1,500 readings), and the mean tau found."""
    rng = np.random.default_rng(12)
    outside, large, taus = [], [], []
    for _ in range(times):
        counts, totals = hospital(rng, wards, tau)
        made = funnel(NAMES[:wards], counts, totals, family=family)
        out = np.array([u.position in (FunnelPosition.LOW, FunnelPosition.HIGH) for u in made.units])
        outside.append(out.mean())
        large.extend(out[totals > 1500])
        taus.append(made.overdispersion.tau)
    return np.mean(outside), np.mean(large), np.mean(taus)


def test_the_square_of_a_drawn_in_normal():
    from scipy.integrate import quad
    from scipy.stats import norm

    assert norm.ppf(0.9) == pytest.approx(DRAWN_IN)
    square = quad(lambda z: min(abs(z), DRAWN_IN) ** 2 * norm.pdf(z), -12, 12, points=[-DRAWN_IN, DRAWN_IN])[
        0
    ]
    assert square == pytest.approx(DRAWN_IN_SQUARE, rel=1e-8)


def test_without_spread_the_limits_are_the_exact_ones():
    """As the table of exact limits for 10 % of 100 (worked out separately; Spiegelhalter 2005)."""
    made = funnel(NAMES[:6], [10] * 6, [100] * 6)
    assert made.overdispersion.tau == 0.0
    limits = [made.limits(p, [100])[0] for p in (0.001, 0.025, 0.975, 0.999)]
    assert limits == pytest.approx([0.01418, 0.04038, 0.15772, 0.19836], abs=6e-6)


@pytest.mark.parametrize("tau", [0.0, 0.01, 0.02])
@pytest.mark.parametrize("wards", [6, 12, 30])
def test_honest_wards_are_flagged_as_rarely_as_is_said(wards, tau):
    """ "Fewer than one in 100", though the spread is itself found from a few wards."""
    outside, _, found = looked_at(wards, tau, additive)
    assert outside < 0.01
    assert found == pytest.approx(tau, abs=0.004 if tau == 0 and wards < 12 else 0.003) or tau == 0


def test_a_common_factor_flags_large_honest_wards(capsys):
    """Why the additive spread is the default."""
    (_, large_added, _), (_, large_multiplied, _) = (
        looked_at(30, 0.02, f) for f in (additive, multiplicative)
    )
    with capsys.disabled():
        print(
            f"\nlarge honest wards flagged: additive {large_added:.1%}, factor {large_multiplied:.1%}",
            end=" ",
        )
    assert large_added < 0.015 < 0.05 < large_multiplied


def test_a_multiplicative_factor_is_found_again():
    """Beta-binomial wards of one size: both families say the same."""
    rng = np.random.default_rng(13)
    factors = []
    for _ in range(200):
        counts = rng.binomial(1000, rng.beta(0.05 * 110, 0.95 * 110, 20))
        factors.append(funnel(NAMES[:20], counts, [1000] * 20, family=multiplicative).overdispersion.phi)
    # Variance over the binomial one: 1 + 999 / 111 = 10.
    assert np.mean(factors) == pytest.approx(10, rel=0.1)


@pytest.mark.parametrize("wards", [5, 8, 20])
def test_an_odd_ward_neither_hides_itself_nor_accuses_the_others(wards):
    """One ward with the published excess of 11 % among wards of 2 %."""
    rng = np.random.default_rng(14)
    found = accused = 0
    for _ in range(50):
        counts = rng.binomial(1500, np.concatenate([[0.13], rng.normal(0.02, 0.003, wards - 1)]))
        units = funnel(NAMES[:wards], counts, [1500] * wards).units
        found += units[0].position is FunnelPosition.HIGH
        accused += sum(u.position is not FunnelPosition.INSIDE for u in units[1:])
    assert found >= 48
    assert accused <= 0.01 * 50 * (wards - 1) + 1


def test_a_low_ward_is_outside_low():
    units = funnel(NAMES[:8], [100, 104, 97, 101, 99, 103, 98, 30], [1000] * 8).units
    assert [u.position for u in units] == [FunnelPosition.INSIDE] * 7 + [FunnelPosition.LOW]


def test_the_target_may_be_given():
    made = funnel(NAMES[:6], [100, 104, 97, 101, 99, 103], [1000] * 6, target=0.02)
    assert made.centre == 0.02
    assert made.overdispersion.tau > 0.05


def test_small_wards_are_withheld_and_count_for_nothing():
    full = funnel(NAMES[:6], [100, 104, 97, 101, 99, 103], [1000] * 6)
    made = funnel(NAMES[:7], [100, 104, 97, 101, 99, 103, 9], [1000] * 6 + [9])
    small = made.units[6]
    assert (small.proportion, small.z, small.position) == (None, None, FunnelPosition.TOO_FEW)
    assert (made.centre, made.overdispersion) == (full.centre, full.overdispersion)
    assert funnel(NAMES[:7], [100] * 7, [1000] * 6 + [100]).units[6].proportion == 1.0


def test_few_wards_or_no_events_are_too_few_to_tell():
    for counts, totals in (([10] * 4, [100] * 4), ([0] * 8, [100] * 8), ([10] * 6, [100] * 4 + [9] * 2)):
        counts = np.minimum(counts, totals)
        units = funnel(NAMES[: len(counts)], counts, totals).units
        assert {u.position for u in units} == {FunnelPosition.TOO_FEW}
        assert all(u.proportion is None for u in units)


def test_a_single_ward_with_events_among_none_is_found():
    units = funnel(NAMES[:8], [0] * 7 + [60], [1000] * 8).units
    assert [u.position for u in units] == [FunnelPosition.INSIDE] * 7 + [FunnelPosition.HIGH]


def test_the_equations_of_centre_and_spread_hold():
    rng = np.random.default_rng(15)
    counts, totals = hospital(rng, 20, 0.02)
    centre, overdispersion = centre_and_overdispersion(counts / totals, totals.astype(float), additive)
    sd = np.sqrt(centre * (1 - centre) / totals + overdispersion.tau**2)
    e = np.clip((counts / totals - centre) / sd, -DRAWN_IN, DRAWN_IN)
    assert (e / sd).sum() == pytest.approx(0, abs=1e-4)
    assert (e**2).sum() == pytest.approx(19 * DRAWN_IN_SQUARE, rel=1e-4)


def test_it_says_how_often_it_is_wrong():
    assert funnel(NAMES[:6], [10] * 6, [100] * 6).error_rate.startswith("fewer than one ward in 100")


def test_what_is_no_share_or_has_no_name_is_refused():
    with pytest.raises(Refusal):
        funnel(NAMES[:2], [3, 3], [2, 2])
    with pytest.raises(Refusal, match="names"):
        funnel(NAMES[:5], [1] * 6, [20] * 6)
