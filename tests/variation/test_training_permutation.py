"""The order of the roll-out put to the test: exactness by enumeration and by simulation."""

from itertools import permutations

import numpy as np
import pytest
from invented_rollouts import Shape, hospital, null_residual

from browline.variation.training.exposure import exposure
from browline.variation.training.orders import distinct_orders
from browline.variation.training.permutation import (
    delays,
    permutation_test,
    timetables,
)

NULL = {"person_response": 0.0, "ward_response": 0.0}


def _table(h, r):
    c = h.charted
    return timetables(r, c.person, h.time, h.acted_on, h.signed_off, h.home, h.starts)


def test_every_order_is_summed_as_if_its_sign_offs_had_been_charted():
    """Slow twin: move every person's sign-off, find the exposure again, and sum r over it."""
    rng = np.random.default_rng(1)
    h = hospital(Shape(4, 6, 3, never=0.3), 0.0, rng)
    r = rng.standard_normal(len(h.y))
    a, delay = _table(h, r), delays(h.signed_off, h.home, h.starts)
    for order in permutations(range(4)):
        moved = exposure(h.charted.person, h.time, h.acted_on, h.starts[list(order)][h.home] + delay)
        assert a[np.arange(4), list(order)].sum() == pytest.approx(r[moved.trained].sum(), abs=1e-9)


def test_the_order_seen_is_the_score_of_trained():
    rng = np.random.default_rng(2)
    h = hospital(Shape(5, 8, 3), 0.0, rng)
    r = rng.standard_normal(len(h.y))
    assert np.trace(_table(h, r)) == pytest.approx(r[h.exposed.trained].sum(), abs=1e-9)


def test_sites_the_scan_does_not_act_on_and_the_unnamed_are_left_out():
    r, person = np.array([1.0, 10.0, 100.0]), np.array([0, 0, -1])
    acted_on = np.array([True, False, True])
    a = timetables(r, person, np.full(3, 9.0), acted_on, np.array([5.0]), np.zeros(1, int), np.array([5.0]))
    assert a.tolist() == [[1.0]]


def test_p_is_the_share_of_orders_as_far_from_the_middle():
    """All 24 orders by hand for a table whose trace is the largest of all: p = 1 / 24."""
    a = np.diag([1.0, 2.0, 3.0, 4.0])
    found = permutation_test(a, np.arange(4.0), np.random.default_rng(0))
    assert (found.p, found.orders, found.tried) == (pytest.approx(1 / 24), 24, 24)
    shifted = permutation_test(a - 10, np.arange(4.0), np.random.default_rng(0))
    assert shifted.p == found.p


def test_wards_nobody_of_which_charts_take_no_part():
    a = np.zeros((6, 6))
    a[:4, :4] = np.diag([1.0, 2.0, 3.0, 4.0])
    found = permutation_test(a, np.append(np.arange(4.0), [np.inf, np.inf]), np.random.default_rng(0))
    assert (found.p, found.orders) == (pytest.approx(1 / 24), 24)


def test_too_few_orders_give_no_p():
    assert distinct_orders([1.0, 1.0, 2.0, 3.0]) == 12
    assert distinct_orders([1.0, np.inf, np.inf]) == 3
    assert permutation_test(np.eye(3), np.arange(3.0), np.random.default_rng(0)).p is None
    assert permutation_test(np.eye(8), np.ones(8), np.random.default_rng(0)).p is None


def test_drawn_orders_agree_with_all_of_them():
    """7 wards enumerated; 8 wards, the last of which changes nothing, drawn."""
    rng = np.random.default_rng(4)
    a = rng.standard_normal((8, 8))
    a += np.diag(np.full(8, 0.8))
    exact = np.array(list(permutations(range(8))))
    total = a[np.arange(8), exact].sum(1)
    middle = a.sum() / 8
    p = (np.abs(total - middle) >= abs(np.trace(a) - middle) - 1e-9).mean()
    found = permutation_test(a, np.arange(8.0), rng)
    assert found.tried == 10_000
    assert found.p == pytest.approx(p, abs=5 * (p * (1 - p) / 1e4) ** 0.5 + 1e-3)


@pytest.mark.parametrize("shape", [Shape(4, 6, 3, **NULL), Shape(5, 7, 3, ward_month=0.15, rho=0.7, **NULL)])
def test_under_random_orders_p_is_uniform(shape):
    """300 hospitals without effect, wards' months AR(0.7): shares at 0.05, 0.2, 0.5 at most 4 standard errors above."""
    rng = np.random.default_rng(11)
    p = np.array([_p(hospital(shape, 0.0, rng), rng) for _ in range(300)])
    for level in (0.05, 0.2, 0.5):
        assert (p <= level).mean() <= level + 4 * (level * (1 - level) / 300) ** 0.5
    assert (p <= 0.5).mean() > 0.35


def test_an_effect_is_found():
    rng = np.random.default_rng(12)
    assert np.mean([_p(hospital(Shape(6, 9, 4), 0.15, rng), rng) <= 0.05 for _ in range(20)]) >= 0.8


def _p(h, rng):
    return permutation_test(_table(h, null_residual(h)), h.starts, rng).p
