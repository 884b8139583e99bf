"""What a roll-out order could detect, against the closed form, a general library, and simulation."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.regression.linear_model import GLS

from browline.variation.training.planner import (
    WITHIN,
    Rollout,
    Spreads,
    design_se,
    detectable,
    detectable_in_se,
    power,
    power_in_se,
)

STEPPED = [step for step in (1, 2, 3, 4) for _ in range(6)]
MIXED = Spreads(ward=0.1, ward_month=0.06, decay=0.7, reading=0.6, response=0.05, person=0.2, people_stay=0.9)


def closed_form(x, cell_variance, ward_variance):
    """Hussey and Hughes 2007, Contemp Clin Trials 28:182 (formula from memory): the variance of the effect."""
    wards, months = x.shape
    u, w, v = x.sum(), (x.sum(0) ** 2).sum(), (x.sum(1) ** 2).sum()
    above = wards * cell_variance * (cell_variance + months * ward_variance)
    below = (wards * u - w) * cell_variance
    below += (u**2 + wards * months * u - months * w - wards * v) * ward_variance
    return above / below


def by_general_library(rollout):
    """The same by statsmodels' GLS over the dense covariance of all ward-months that chart."""
    wards, months = rollout.share.shape
    dense = np.zeros((wards * months,) * 2)
    for w in range(wards):
        s, x = rollout.spreads, rollout.share[w]
        for i in range(months):
            for j in range(months):
                apart = abs(i - j)
                dense[w * months + i, w * months + j] = (
                    s.ward**2
                    + s.person**2 / s.people * s.people_stay**apart
                    + s.response**2 * x[i] * x[j]
                    + s.ward_month**2 * s.decay**apart
                    + (s.reading**2 / max(rollout.effective[w, i], 1e-9) if i == j else 0)
                )
    columns = np.column_stack([np.tile(np.eye(months), (wards, 1)), rollout.share.ravel()])
    keep = rollout.effective.ravel() > 0
    fit = GLS(np.zeros(keep.sum()), columns[keep], sigma=dense[np.ix_(keep, keep)]).fit()
    return float(np.sqrt(fit.normalized_cov_params[-1, -1]))


def test_without_decay_it_is_the_closed_form():
    for starts, months in ((STEPPED, 5), ([1, 2, 4], 6), ([1, 1, 2, 5, 3], 7)):
        spreads = Spreads(ward=0.13, ward_month=0.0, decay=0.0, reading=0.5)
        rollout = Rollout.starting(starts, months, 80.0, spreads)
        assert design_se(rollout) ** 2 == pytest.approx(closed_form(rollout.share, 0.5**2 / 80, 0.13**2))


def test_a_published_setting_of_24_clusters():
    """24 clusters in 4 steps: variance 4.0658e-5, se 0.006376, power 0.8059 by the normal law; the setting is
    that of a documented worked example of a general package for stepped designs, the figures by the formula."""
    spreads = Spreads(ward=0.025, ward_month=0.0, decay=0.0, reading=(0.041 * 0.959) ** 0.5)
    se = design_se(Rollout.starting(STEPPED, 5, 100.0, spreads))
    assert se**2 == pytest.approx(4.0658e-5, rel=1e-4)
    assert power_in_se(0.018 / se, np.inf) == pytest.approx(0.8059, abs=5e-5)


def test_a_published_power_with_wandering_months():
    """Printed by that package's documentation: power 0.6451082 with months that differ by 0.01 within a cluster
    and new people, who differ by 0.1, every month."""
    reading = (0.041 * 0.959 + 0.1**2) ** 0.5
    spreads = Spreads(ward=0.025, ward_month=0.01, decay=0.0, reading=reading)
    se = design_se(Rollout.starting(STEPPED, 5, 100.0, spreads))
    assert power_in_se(0.018 / se, np.inf) == pytest.approx(0.6451082, abs=5e-7)


def test_with_decay_people_responses_and_slow_uptake_it_is_the_general_librarys():
    rng = np.random.default_rng(1)
    rollout = Rollout.starting([1, 2, 3, 5, None], 8, [50, 80, 120, 30, 200], MIXED, uptake=(0.3, 0.6, 0.9))
    assert design_se(rollout) == pytest.approx(by_general_library(rollout), rel=1e-8)
    patchy = Rollout(rng.random((6, 9)), rng.poisson(3, (6, 9)) * 20.0, MIXED)
    assert (patchy.effective == 0).any()
    assert design_se(patchy) == pytest.approx(by_general_library(patchy), rel=1e-8)


def test_a_month_in_which_nobody_charts_is_left_out():
    rollout = Rollout.starting([1, 2, 3], 5, 100.0, MIXED)
    silent = rollout.effective.copy()
    silent[:, 2] = 0
    patchy = Rollout(rollout.share, silent, MIXED)
    kept = [0, 1, 3, 4]
    columns = np.column_stack([np.tile(np.eye(5)[:, kept], (3, 1)), rollout.share.ravel()])
    rows = silent.ravel() > 0
    dense = np.zeros((15, 15))
    for w in range(3):
        dense[5 * w : 5 * w + 5, 5 * w : 5 * w + 5] = np.nan_to_num(patchy.covariance(w), posinf=0)
    fit = GLS(np.zeros(rows.sum()), columns[rows], sigma=dense[np.ix_(rows, rows)]).fit()
    assert design_se(patchy) == pytest.approx(float(fit.normalized_cov_params[-1, -1]) ** 0.5, rel=1e-8)


def test_without_wards_still_to_start_nothing_can_be_told():
    together = Rollout.starting([2] * 12, 8, 500.0, MIXED, uptake=(0.5, 1.0))
    assert design_se(together) == np.inf
    assert power(together, 1.0) == pytest.approx(0.05, abs=1e-6)
    assert detectable(together) == np.inf
    one_late = Rollout.starting([2] * 11 + [5], 8, 500.0, MIXED)
    assert design_se(one_late) < 0.1


def test_wards_compared_with_themselves_are_those_with_their_own_constants():
    """An analysis of covariance with a column for every ward and every month, by statsmodels."""
    spreads = Spreads(ward=WITHIN, ward_month=0.0, decay=0.0, reading=0.5)
    rollout = Rollout.starting([1, 2, 3, 4], 6, 100.0, spreads)
    columns = np.column_stack(
        [np.tile(np.eye(6), (4, 1)), np.repeat(np.eye(4), 6, 0)[:, 1:], rollout.share.ravel()]
    )
    fit = GLS(np.zeros(24), columns, sigma=np.full(24, 0.25 / 100)).fit()
    assert design_se(rollout) == pytest.approx(float(fit.normalized_cov_params[-1, -1]) ** 0.5, rel=1e-4)


def test_power_is_that_of_the_noncentral_t_law():
    for freedom in (1, 2, 5, 10, 22):
        edge = stats.t.ppf(0.975, freedom)
        for moved in (0.0, 0.7, 2.5, 4.0):
            expected = stats.nct.sf(edge, freedom, moved) + stats.nct.cdf(-edge, freedom, moved)
            assert power_in_se(moved, freedom) == pytest.approx(expected, abs=1e-6)


def test_what_is_detectable_is_detected_that_often():
    rollout = Rollout.starting([1, 2, 3, 4, 5, 6], 8, 150.0, MIXED)
    for wanted in (0.8, 0.9):
        assert power(rollout, detectable(rollout, wanted)) == pytest.approx(wanted, abs=1e-8)
    assert detectable_in_se(22, 0.9) > detectable_in_se(np.inf, 0.9) == pytest.approx(3.2415, abs=1e-4)


def test_two_wards_detect_nothing():
    assert power(Rollout.starting([1, 2], 4, 1e6, MIXED), 5.0) == 0.0
    assert detectable(Rollout.starting([1, 2], 4, 1e6, MIXED)) == np.inf


def test_the_standard_error_is_the_spread_of_estimates_from_simulated_ward_months():
    rng, rollout = np.random.default_rng(7), Rollout.starting([1, 2, 3, 4, 5], 7, 60.0, MIXED)
    roots = [np.linalg.cholesky(rollout.covariance(w)) for w in range(5)]
    precision = [np.linalg.inv(rollout.covariance(w)) for w in range(5)]
    columns = [np.column_stack([np.eye(7), rollout.share[w]]) for w in range(5)]
    information = sum(c.T @ p @ c for c, p in zip(columns, precision, strict=True))
    pull = [np.linalg.solve(information, c.T @ p)[-1] for c, p in zip(columns, precision, strict=True)]
    found = sum(a @ r @ rng.standard_normal((7, 20_000)) for a, r in zip(pull, roots, strict=True))
    assert found.std() == pytest.approx(
        design_se(rollout), rel=0.02
    )  # 4 standard errors of a spread from 20,000


def test_what_makes_no_sense_is_refused():
    with pytest.raises(ValueError, match="spreads"):
        Spreads(ward=-0.1, ward_month=0, decay=0, reading=0.5)
    with pytest.raises(ValueError, match="correlations"):
        Spreads(ward=0.1, ward_month=0, decay=1.2, reading=0.5)
    with pytest.raises(ValueError, match="one size"):
        Rollout(np.zeros((2, 3)), np.ones((3, 2)), MIXED)
    with pytest.raises(ValueError, match="shares"):
        Rollout(np.full((2, 3), 1.5), np.ones((2, 3)), MIXED)
    with pytest.raises(ValueError, match="power"):
        detectable_in_se(10, 0.01)
