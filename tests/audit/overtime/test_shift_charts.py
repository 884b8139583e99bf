"""EWMA and CUSUM as charts: paths, first signals, and false alarms as often as is said."""

import numpy as np
import pytest

from browline.audit.overtime import Outcome, cusum_chart, ewma_chart
from browline.audit.overtime.runlength import ewma as ewma_run_length
from browline.audit.overtime.runlength import limit_for
from browline.errors import Refusal

Z = np.random.default_rng(7).standard_normal(60)


def test_a_cusum_is_the_highest_rise_since_any_earlier_point():
    """The other textbook form: W less its lowest so far, W the running sum of z - k."""
    chart = cusum_chart(Z, reference=0.5, limit=4.0)
    for path, z in ((chart.high, Z), (chart.low, -Z)):
        walk = np.concatenate([[0.0], np.cumsum(z - 0.5)])
        assert path == pytest.approx((walk - np.minimum.accumulate(walk))[1:])


def test_an_ewma_is_the_sum_of_its_weights():
    chart = ewma_chart(Z, smoothing=0.3)
    for t in (0, 5, 59):
        weights = 0.3 * 0.7 ** np.arange(t, -1, -1)
        assert chart.path[t] == pytest.approx(weights @ Z[: t + 1])
    assert chart.limits == pytest.approx(2.86 * np.sqrt(0.3 / 1.7))


def test_a_cusum_finds_a_shift_and_where_it_began():
    shifted = np.concatenate([Z[:30], Z[30:] - 2.0])
    chart = cusum_chart(shifted, reference=1.0, limit=5.0)
    assert chart.outcome is Outcome.SHIFTED
    assert chart.low[chart.first_signal] > 5.0 >= chart.low[: chart.first_signal].max()
    assert chart.began == pytest.approx(30, abs=2)


def test_the_first_signal_is_the_first_point_past_the_limit():
    chart = ewma_chart([0.0] * 9 + [9.0] * 3, smoothing=0.2)
    assert chart.first_signal == 9
    assert ewma_chart([0.0] * 12).first_signal is None


def test_a_head_start_signals_sooner_where_the_shift_is_there_from_the_start():
    start = [1.6, 1.4, 1.7, 1.5, 1.6, 1.5]
    assert cusum_chart(start, head_start=0.5).first_signal < cusum_chart(start).first_signal
    assert ewma_chart(start, head_start=0.5).first_signal < ewma_chart(start).first_signal


def test_a_head_start_narrows_the_limits_as_two_started_ewmas_would():
    chart = ewma_chart(Z, smoothing=0.3, head_start=0.5)
    at, c = 0.5 * chart.limits[-1], chart.limits[-1]
    for t, z in enumerate(Z[:10]):
        at = 0.7 * at + 0.3 * z
        assert at - c == pytest.approx(chart.path[t] - chart.limits[t], abs=1e-6)


@pytest.mark.parametrize("head_start", [0.0, 0.5])
@pytest.mark.parametrize("chart_of", [cusum_chart, ewma_chart])
def test_steady_charts_signal_as_often_as_is_said(chart_of, head_start):
    """Loose limits, so that most of 400 points hold a signal and the average run length can be seen."""
    limits = {"limit": 2.5} if chart_of is cusum_chart else {"limit": 1.8}
    rng = np.random.default_rng(8)
    charts = [chart_of(rng.standard_normal(400), head_start=head_start, **limits) for _ in range(300)]
    lengths = np.array([400 if c.first_signal is None else c.first_signal + 1 for c in charts])
    assert abs(lengths.mean() - charts[0].run_length) < 4 * lengths.std() / np.sqrt(300)


def test_silence_is_steady_only_where_a_shift_would_have_been_found():
    """A shift of 1 sd takes 9.9 points on average (run length of the default CUSUM)."""
    assert cusum_chart([0.0] * 9).outcome is Outcome.TOO_FEW
    assert cusum_chart([0.0] * 10).outcome is Outcome.STEADY
    assert ewma_chart([0.0] * 9).outcome is Outcome.TOO_FEW
    assert ewma_chart([0.0] * 10).outcome is Outcome.STEADY


def test_every_chart_says_how_often_it_is_wrong():
    assert cusum_chart(Z).error_rate == "on average one false alarm in 370 points"
    limit = limit_for(500, lambda x: ewma_run_length(x, 0.1))
    assert ewma_chart(Z, smoothing=0.1, limit=limit).error_rate == "on average one false alarm in 500 points"
    assert cusum_chart(Z, limit=4.0, head_start=0.5).error_rate == "on average one false alarm in 150 points"


@pytest.mark.parametrize("chart_of", [cusum_chart, ewma_chart])
@pytest.mark.parametrize("values", [[], [0.0, float("inf")]])
def test_what_is_no_row_of_numbers_is_refused(chart_of, values):
    with pytest.raises(Refusal, match="finite number"):
        chart_of(values)
