"""One step of a share: found where it is, and hardly ever where it is not."""

from math import log

import numpy as np
import pytest

from browline.audit.overtime import Outcome, p_prime_chart, step
from browline.audit.overtime.since import PRIOR_EVENTS
from browline.errors import Refusal


def marginal(events, readings, a, b, cells=200_000):
    """The chance of the counts under the Beta prior, by adding up over a fine grid."""
    p = (np.arange(cells) + 0.5) / cells
    prior = p ** (a - 1) * (1 - p) ** (b - 1)
    return float((prior * p**events * (1 - p) ** (readings - events)).sum() / prior.sum())


def test_the_evidence_is_that_of_adding_up():
    counts, totals = np.array([2, 1, 3, 2, 6, 5, 7, 6]), np.full(8, 20)
    p = (32 + 0.5) / (160 + 1)
    a, b = PRIOR_EVENTS, PRIOR_EVENTS * (1 - p) / p
    odds = [
        marginal(counts[:k].sum(), totals[:k].sum(), a, b)
        * marginal(counts[k:].sum(), totals[k:].sum(), a, b)
        for k in range(2, 7)
    ]
    expected = log(np.mean(odds) / marginal(32, 160, a, b))
    assert step(counts, totals).evidence == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("share", "readings", "weeks"),
    [(0.001, 100, 52), (0.01, 100, 12), (0.1, 300, 12), (0.1, 300, 52), (0.5, 50, 104)],
)
def test_steady_wards_are_hardly_ever_told_to_have_changed(share, readings, weeks):
    """The bound of a fair bet is 1 in 20; "fewer than one in 100" is what is said."""
    rng = np.random.default_rng(16)
    found = [
        step(rng.binomial(readings, share, weeks), [readings] * weeks).outcome is Outcome.SHIFTED
        for _ in range(1000)
    ]
    assert np.mean(found) < 0.01


def test_weeks_that_vary_more_than_chance_are_counted_as_fewer_readings(capsys):
    rng = np.random.default_rng(17)
    plain = mended = 0
    for _ in range(300):
        counts = rng.binomial(1000, rng.beta(0.05 * 124, 0.95 * 124, 52))
        sigma = p_prime_chart(counts, [1000] * 52).sigma_z
        plain += step(counts, [1000] * 52).outcome is Outcome.SHIFTED
        mended += step(counts, [1000] * 52, dispersion=sigma**2).outcome is Outcome.SHIFTED
    with capsys.disabled():
        print(
            f"\nfalse steps at dispersion 9: {plain / 300:.0%} as counted, {mended / 300:.1%} with it",
            end=" ",
        )
    assert plain > 150
    assert mended <= 3


@pytest.mark.parametrize(
    ("before", "after", "readings", "weeks"),
    [(0.05, 0.10, 100, 26), (0.02, 0.13, 60, 26), (0.10, 0.05, 200, 52)],
)
def test_the_range_of_weeks_holds_the_step(before, after, readings, weeks, capsys):
    rng = np.random.default_rng(18)
    proportion = np.where(np.arange(weeks) < weeks // 2, before, after)
    found = [step(rng.binomial(readings, proportion), [readings] * weeks) for _ in range(400)]
    told = [s for s in found if s.outcome is Outcome.SHIFTED]
    held = np.mean([s.earliest <= weeks // 2 <= s.latest for s in told])
    wide = np.mean([s.latest - s.earliest + 1 for s in told])
    with capsys.disabled():
        print(
            f"\nstep {before} to {after}: found {len(told) / 400:.0%}, held {held:.0%}, {wide:.1f} weeks",
            end=" ",
        )
    assert len(told) > 0.85 * 400
    assert held >= 0.93
    assert wide < 10
    assert np.mean([s.first for s in told]) == pytest.approx(weeks // 2, abs=0.7)
    assert np.mean([s.after for s in told]) == pytest.approx(after, rel=0.1)


def test_a_step_down_is_a_step():
    found = step([12, 11, 13, 12, 14, 12, 1, 2, 1, 2, 1, 2], [100] * 12)
    assert (found.first, found.outcome) == (6, Outcome.SHIFTED)
    assert found.before > found.after


def test_dispersion_counts_every_reading_as_fewer():
    counts, totals = np.array([2, 4, 2, 4, 8, 10, 12, 8]), np.full(8, 100)
    counted = step(2 * counts, 2 * totals, dispersion=2.0)
    # The prior leans on the share of all weeks, which half a reading moves by a hair.
    assert counted.evidence == pytest.approx(step(counts, totals).evidence, abs=0.02)
    assert counted.evidence < step(2 * counts, 2 * totals).evidence - 1


def test_few_weeks_are_too_few_to_tell():
    assert step([0, 0, 0, 9, 9, 9, 9], [10] * 7) is None
    assert step([0, 0, 0, 0, 9, 9, 9, 9], [10] * 8) is not None


def test_no_events_at_all_are_steady():
    found = step([0] * 12, [50] * 12)
    assert found.outcome is Outcome.STEADY
    assert found.evidence < 1


def test_what_is_no_share_is_refused():
    with pytest.raises(Refusal):
        step([3] * 9, [2] * 9)
