"""Run charts: the rules, and how often a steady chart breaks them."""

from itertools import combinations, pairwise

import numpy as np
import pytest

from browline.audit.overtime import Outcome, read_runs
from browline.audit.overtime.runs import crossings_needed, false_signals, longest_allowed
from browline.errors import Refusal


def read_plainly(sides):
    """Longest run and crossings of a row of 0 and 1, the slow and obvious way."""
    longest = run = 1
    crossings = 0
    for before, after in pairwise(sides):
        run = run + 1 if before == after else 1
        crossings += before != after
        longest = max(longest, run)
    return longest, crossings


@pytest.mark.parametrize("n", [10, 11, 12, 20, 24, 36, 52, 100])
def test_the_rules_are_those_of_the_formulas(n):
    """Anhøj & Olesen 2014 (from memory); the quantile against SciPy's own."""
    from scipy.stats import binom

    assert longest_allowed(n) == round(np.log2(n) + 3)
    assert crossings_needed(n) == binom.ppf(0.05, n - 1, 0.5)


def test_long_charts_do_not_overflow():
    assert crossings_needed(2000) > 900
    assert 0.03 < false_signals(1000, 1000, longest_allowed(2000), crossings_needed(2000)) < 0.12


@pytest.mark.parametrize(("above", "below"), [(5, 5), (6, 6), (7, 5), (3, 8)])
@pytest.mark.parametrize(("allowed", "needed"), [(5, 0), (3, 4), (6, 2), (20, 5)])
def test_the_chance_of_a_false_signal_is_that_of_all_orders_tried(above, below, allowed, needed):
    n = above + below
    broken = total = 0
    for high in combinations(range(n), above):
        longest, crossings = read_plainly([i in high for i in range(n)])
        total += 1
        broken += longest > allowed or crossings < needed
    assert false_signals(above, below, allowed, needed) == pytest.approx(broken / total, abs=1e-12)


def test_false_signals_stay_rare_where_six_in_a_row_do_not(capsys):
    """The fixed rule: 1 % at 12 points, 16 % at 24, 47 % at 52 (check figures of our own design notes)."""
    ours = {n: false_signals(n // 2, n // 2, longest_allowed(n), crossings_needed(n)) for n in (12, 24, 52)}
    fixed = {n: false_signals(n // 2, n // 2, 5, 0) for n in (12, 24, 52)}
    with capsys.disabled():
        print(
            "\nfalse signals of a steady run chart:",
            {n: f"{100 * p:.1f} %" for n, p in ours.items()},
            end=" ",
        )
        print("six in a row:", {n: f"{100 * p:.0f} %" for n, p in fixed.items()})
    assert [round(100 * p) for p in fixed.values()] == pytest.approx([1, 16, 47], abs=1)
    assert max(ours.values()) < 0.05
    assert ours[52] - ours[12] < 0.04


@pytest.mark.parametrize("n", [24, 52])
def test_steady_charts_are_called_shifted_as_often_as_is_said(n):
    rng = np.random.default_rng(n)
    read = [read_runs(rng.standard_normal(n)) for _ in range(3000)]
    error_rate = read[0].false_signals
    found = np.mean([r.outcome is Outcome.SHIFTED for r in read])
    assert abs(found - error_rate) < 4 * np.sqrt(error_rate / 3000)


def test_runs_and_crossings_are_counted_as_by_hand():
    rng = np.random.default_rng(1)
    for _ in range(50):
        values = rng.integers(0, 6, 31)
        useful = values[values != np.median(values)]
        read = read_runs(values)
        assert (read.longest_run, read.crossings) == read_plainly(list(useful > np.median(values)))
        assert read.useful == len(useful)


def test_a_lasting_shift_is_found_and_a_single_odd_point_is_not():
    rng = np.random.default_rng(2)
    noise = rng.standard_normal(24)
    assert read_runs(noise + np.repeat([0, 3], 12)).outcome is Outcome.SHIFTED
    assert read_runs(noise + 9 * (np.arange(24) == 5)).outcome is Outcome.STEADY


def test_few_useful_points_are_too_few_to_tell_however_long_the_chart():
    assert read_runs([1, 2, 3, 4, 5, 6, 7, 8, 9]).outcome is Outcome.TOO_FEW
    assert read_runs([5.0] * 40 + [4, 6] * 4).outcome is Outcome.TOO_FEW
    assert read_runs([5.0] * 40).longest_run == 0
    assert read_runs([4, 6] * 5).outcome is Outcome.STEADY


def test_it_says_how_often_it_is_wrong():
    assert (
        read_runs([4, 6] * 26).error_rate == "about 5 of 100 steady charts this long would be called shifted"
    )


@pytest.mark.parametrize("values", [[], [1.0, float("nan")], [[1.0, 2.0]]])
def test_what_is_no_row_of_numbers_is_refused(values):
    with pytest.raises(Refusal, match="finite number"):
        read_runs(values)
