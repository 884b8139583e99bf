"""The ways a roll-out can go: what each could show, in words, and what the readings of a stay are worth."""

from itertools import permutations

import numpy as np
import pytest

from browline.variation.training.orders import Way, distinct_orders, starts
from browline.variation.training.planner import WITHIN, Rollout, Spreads, design_se, detectable
from browline.variation.training.prospects import ProspectOutcome, compared, prospect
from browline.variation.training.readings_worth import effective_share, single_reading_sd

SPREADS = Spreads(ward=WITHIN, ward_month=0.05, decay=0.7, reading=0.55)


def asked(way, wards=8, months=12, before=3):
    begun = starts(way, wards, months, before)
    return prospect(Rollout.starting(begun, months, 100.0, SPREADS), begun)


def test_orders_are_those_of_enumeration():
    for begun in ([1, 2, 3], [1, 1, 2, 3], [4, 4, 4], [1, 1, 2, 2, 3]):
        assert distinct_orders(begun) == len(set(permutations(begun)))


def test_every_way_leaves_months_before_and_one_after():
    for way in Way:
        for wards in (1, 3, 8, 20):
            begun = starts(way, wards, 10, 2)
            assert len(begun) == wards and min(begun) == 2 and max(begun) <= 8
    with pytest.raises(ValueError, match="before the first"):
        starts(Way.TOGETHER, 3, 5, 4)


def test_ward_by_ward_detects_more_than_two_halves_and_all_at_once_nothing():
    one, halves, together = (asked(way) for way in Way)
    begun = starts(Way.ONE_BY_ONE, 8, 12, 3)
    assert one.se_c < halves.se_c and one.seen_80_c < one.seen_90_c
    assert one.seen_80_c == pytest.approx(detectable(Rollout.starting(begun, 12, 100.0, SPREADS), 0.8))
    assert together.outcome is ProspectOutcome.NO_CONTEMPORARIES and together.seen_80_c is None


def test_the_words_say_which_and_why():
    said = compared([(way, asked(way, wards=8, months=24)) for way in Way])
    assert said[0].startswith("Ward by ward detects most: a change of {d 0.")
    assert said[1].startswith("In two halves needs {d 0.")
    assert said[2].startswith("All at once: no ward is still to start")
    assert said[3].startswith("Draw lots")


def test_ways_that_print_alike_are_said_to_be_alike():
    both = prospect(Rollout.starting([1, 2, 3, 4, 5], 8, 100.0, SPREADS), [1, 2, 3, 4, 5])
    said = compared([(Way.ONE_BY_ONE, both), (Way.HALVES, both)])
    assert said[0].startswith("Ward by ward and in two halves detect about the same: a change of")
    assert len(said) == 2


def test_drawing_lots_changes_nothing_where_wards_chart_alike_and_little_elsewhere():
    begun, rng = np.array(starts(Way.ONE_BY_ONE, 8, 12, 3)), np.random.default_rng(1)
    alike = [
        design_se(Rollout.starting(rng.permutation(begun).tolist(), 12, 100.0, SPREADS)) for _ in range(5)
    ]
    assert np.ptp(alike) < 1e-9 * alike[0]
    charted = np.array([40, 60, 80, 100, 120, 140, 200, 300.0])
    drawn = [
        design_se(Rollout.starting(rng.permutation(begun).tolist(), 12, charted, SPREADS)) for _ in range(50)
    ]
    assert max(drawn) / min(drawn) < 1.2


def test_few_wards_and_few_orders_can_show_nothing():
    assert asked(Way.ONE_BY_ONE, wards=2).outcome is ProspectOutcome.FEW_WARDS
    few = asked(Way.ONE_BY_ONE, wards=3)  # 6 orders: no chance under 1 in 6
    assert few.orders == 6 and few.outcome is ProspectOutcome.FEW_ORDERS and few.seen_80_c is None
    assert asked(Way.HALVES, wards=12, months=14).outcome is ProspectOutcome.COULD


def test_readings_of_one_stay_are_worth_what_their_mean_tells():
    """Equal correlation: 1 / (1 + (m - 1) r), Kish 1965 (from memory); with a course, the dense inverse."""
    for m in (1, 2, 10, 40):
        r = 0.4**2 / (0.4**2 + 0.3**2)
        assert effective_share(m, 6.0, 0.4, 0.0, 24.0, 0.3) == pytest.approx(1 / (1 + (m - 1) * r))
    at = 6.0 * np.arange(5)
    v = 0.3**2 + 0.35**2 * np.exp(-np.abs(at[:, None] - at) / 24) + 0.3**2 * np.eye(5)
    best = 1 / np.linalg.inv(v).sum()  # variance of the best mean of these five
    assert effective_share(5, 6.0, 0.3, 0.35, 24.0, 0.3) == pytest.approx(v[0, 0] / best / 5)
    assert single_reading_sd(0.3, 0.35, 0.3) ** 2 == pytest.approx(v[0, 0])
