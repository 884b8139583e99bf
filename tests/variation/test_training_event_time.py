"""Months around sign-off, against a general library's regression and invented people."""

from dataclasses import replace

import numpy as np
import pytest
from statsmodels.regression.linear_model import WLS

from browline.variation.training.clustered import Estimate, clustered
from browline.variation.training.event_time import NEVER, EventCells, EventOutcome, event_time


def invented(rng, *, wards=10, people=6, months=14, effect=0.15, trend=0.0, never=0.3, wander=0.02):
    """Cells of invented people whose readings rise by `effect` at sign-off and by `trend` a month before it."""
    person, month = (a.ravel() for a in np.mgrid[: wards * people, :months])
    ward = person // people
    starts = rng.integers(3, months - 3, wards)
    stays_out = rng.random(wards * people) < never
    event = np.where(
        stays_out[person], NEVER, month - starts[ward] - rng.integers(0, 3, wards * people)[person]
    )
    known = np.where(event == NEVER, -1, event)
    n = rng.poisson(40, len(month)) + 1
    information = n / 0.45**2
    truth = effect * ((known >= 0) & (event != NEVER)) + trend * np.minimum(known + 1, 0) * (event != NEVER)
    mean = (
        truth
        + 0.1 * np.sin(month)
        + 0.1 * rng.standard_normal(wards * people)[person]
        + wander * rng.standard_normal((wards, months))[ward, month]
        + rng.standard_normal(len(month)) / np.sqrt(information)
    )
    return EventCells(person, ward, month, event, n, information, information * mean)


def test_the_months_are_those_of_a_regression_on_people_calendar_and_months_from_sign_off():
    """statsmodels WLS with a column for every person, calendar month and month from sign-off."""
    cells = invented(np.random.default_rng(1))
    found = event_time(cells, far=4)
    label = np.where(cells.event == NEVER, -1, np.clip(cells.event, -4, 4))
    told = [k for k in range(-4, 5) if k != -1]
    x = np.column_stack(
        [
            label[:, None] == told,
            cells.month[:, None] == np.arange(1, 14),
            cells.person[:, None] == np.arange(60),
        ]
    )
    fit = WLS(cells.score / cells.information, x.astype(float), weights=cells.information).fit()
    by_month = {m.month: m for m in found.months}
    assert [by_month[k].mean_c for k in told] == pytest.approx(list(fit.params[:8]), abs=1e-9)
    assert by_month[-1].mean_c == 0 and by_month[4].pooled and not by_month[3].pooled
    assert by_month[2].n == cells.n[cells.event == 2].sum()
    assert by_month[2].people == len(np.unique(cells.person[cells.event == 2]))


def test_doubt_over_wards_is_the_jackknife_of_whole_fits_and_the_larger_of_both():
    rng = np.random.default_rng(2)
    ward, group = np.repeat(np.arange(8), 20), np.repeat(np.arange(40), 4)
    x, weight = rng.standard_normal((160, 2)), rng.uniform(1, 9, 160)
    y = x @ [0.3, -0.2] + rng.standard_normal(8)[ward] * x[:, 0] + rng.standard_normal(160) / np.sqrt(weight)
    fit = clustered(y, x, weight, group, ward)

    def refitted(keep):
        columns = np.column_stack([x, group[:, None] == np.unique(group[keep])])[keep]
        return WLS(y[keep], columns.astype(float), weights=weight[keep]).fit()

    without = np.array([refitted(ward != w).params[:2] for w in range(8)])
    apart = without - refitted(ward >= 0).params[:2]
    assert fit.beta == pytest.approx(refitted(ward >= 0).params[:2])
    assert fit.covariance == pytest.approx(7 / 8 * apart.T @ apart)
    assert fit.plain == pytest.approx(refitted(ward >= 0).normalized_cov_params[:2, :2])
    told = fit.contrast(np.array([1.0, 0.0]))
    assert told == Estimate.from_standard_error(
        fit.beta[0], max(fit.covariance[0, 0], fit.plain[0, 0]) ** 0.5, 7
    )


def test_wards_alike_by_luck_are_not_taken_for_certainty():
    rng = np.random.default_rng(9)
    x = rng.standard_normal((40, 1))
    fit = clustered(0.3 * x[:, 0], x, np.full(40, 4.0), np.zeros(40, int), np.repeat(np.arange(5), 8))
    told = fit.contrast(np.ones(1))
    assert fit.covariance[0, 0] < 1e-20 and told == Estimate.from_standard_error(
        fit.beta[0], fit.plain[0, 0] ** 0.5, 4
    )


def test_a_step_is_seen_with_nothing_before_it():
    found = event_time(invented(np.random.default_rng(3)))
    after = [m for m in found.months if m.month >= 0 and m.mean_c is not None]
    before = [m for m in found.months if m.month < -1 and m.mean_c is not None]
    assert found.outcome is EventOutcome.DRAWN
    assert all(m.low_c <= 0.15 <= m.high_c for m in after) and all(m.low_c > 0 for m in after[:4])
    assert sum(m.low_c <= 0 <= m.high_c for m in before) >= len(before) - 1
    assert found.trend.p > 0.05 and found.trend.low_c < 0 < found.trend.high_c
    assert found.trend.sentence.startswith("No trend")


def test_a_trend_before_sign_off_is_found_and_told():
    trend = event_time(invented(np.random.default_rng(4), trend=0.04)).trend
    assert trend.low_c <= 0.04 <= trend.high_c and trend.p < 0.01
    assert "rising already before sign-off" in trend.sentence


def test_the_slope_is_the_planted_one_and_pooling_far_months_understates_it():
    cells = invented(np.random.default_rng(10), wards=60, trend=0.04, wander=0.0)
    sloping = np.where(cells.event == NEVER, 0.0, 0.04 * np.minimum(cells.event + 1, 0))
    exact = replace(cells, score=cells.information * sloping)
    assert event_time(exact, far=13).trend.slope_c == pytest.approx(0.04, abs=1e-9)
    assert 0.02 < event_time(cells, far=4).trend.slope_c < 0.045


@pytest.mark.slow
def test_intervals_hold_the_truth_and_the_trend_test_is_false_as_often_as_said():
    """Recovery from simulation, wards' months wandering: 300 hospitals, 4 standard errors either side."""
    held, false, tries = [], [], 300
    for seed in range(tries):
        found = event_time(invented(np.random.default_rng(100 + seed), wander=0.05), far=4)
        by_month = {m.month: m for m in found.months}
        held += [by_month[k].low_c <= 0.15 <= by_month[k].high_c for k in (0, 2, 4)]
        false.append(found.trend.p < 0.05)
    assert 0.93 <= np.mean(held) <= 0.985
    assert np.mean(false) <= 0.05 + 4 * (0.05 * 0.95 / tries) ** 0.5


def test_months_with_few_readings_or_people_are_not_told():
    cells = invented(np.random.default_rng(5))
    thin = np.where(cells.event == 2, 0, cells.n)
    few = event_time(EventCells(cells.person, cells.ward, cells.month, cells.event, thin, *_sums(cells)))
    told = {m.month: m for m in few.months}
    assert told[2].mean_c is None and told[2].n == 0 and told[1].mean_c is not None


def _sums(cells):
    return cells.information, cells.score


def test_without_people_never_signed_off_it_is_not_drawn():
    found = event_time(invented(np.random.default_rng(6), never=0.0))
    assert found.outcome is EventOutcome.NO_COMPARISON and found.months == () and found.trend is None
    assert "keep some people or wards for later" in found.outcome.sentence


def test_people_never_signed_off_who_hardly_chart_are_no_comparison():
    cells = invented(np.random.default_rng(11))
    n = np.where(cells.event == NEVER, 0, cells.n)
    found = event_time(EventCells(cells.person, cells.ward, cells.month, cells.event, n, *_sums(cells)))
    assert found.outcome is EventOutcome.NO_COMPARISON


def test_two_wards_are_too_few():
    found = event_time(invented(np.random.default_rng(7), wards=2, people=12))
    assert found.outcome is EventOutcome.TOO_FEW and found.trend is None


def test_at_least_three_months_either_side_are_wanted():
    with pytest.raises(ValueError, match="three months"):
        event_time(invented(np.random.default_rng(8)), far=2)
