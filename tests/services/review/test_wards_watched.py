"""Small lasting shifts of a ward's weeks: seen where they are, silent where they are not, never of too few."""

import numpy as np

import invented_wards as told
from browline.services.review.wards import follow, ward, watch


def _watched(counts, n=200):
    made = told.a_ward("Rowan", of=told.weeks(counts, n=n))
    return watch(follow(ward(told.a_review(made), "Rowan")))


def test_a_small_rise_that_no_single_week_shows_is_seen_and_dated():
    rng = np.random.default_rng(1)
    counts = [*rng.binomial(200, 0.08, 14), *rng.binomial(200, 0.11, 24)]
    watched = _watched([int(c) for c in counts])
    assert watched.level.first_signal is not None or watched.sum.first_signal is not None
    assert "lasting shift" in watched.said and "one false alarm in 370 points" in watched.said


def test_honest_wards_are_seldom_told_to_shift():
    """Stated: twice one false alarm in 370 weeks, so about 10 of 100 wards in 20 weeks; 4 binomial errors let pass."""
    rng = np.random.default_rng(2)
    alarms = 0
    for _ in range(300):
        watched = _watched([int(c) for c in rng.binomial(200, 0.1, 32)])
        alarms += watched.level.first_signal is not None
    stated = 1 - (1 - 2 / 370) ** 20
    assert alarms / 300 < stated + 4 * (stated * (1 - stated) / 300) ** 0.5


def test_too_few_weeks_and_too_few_events_are_not_watched():
    assert _watched([10] * 12) is None
    assert _watched([0, 1] * 20) is None
    assert "Too few weeks" in _watched([19, 21] * 7).said
