"""Windows join starts that are alike and lose none; every choice the limits allow can be put into a timetable."""

from itertools import permutations, product

import numpy as np
import pytest
import small_rotas as rotas

from browline.visit_plan import Cover, FixedVisit
from browline.visit_plan.cover import at_once, places
from browline.visit_plan.limits import limit_rows
from browline.visit_plan.rows import Rows
from browline.visit_plan.timetable import timetable
from browline.visit_plan.windows import Window, Windows, build_windows
from browline.visit_plan.working_days import too_close


def test_starts_with_the_same_people_are_one_window_and_a_change_of_shift_begins_another():
    rows = [(0, 0, 0, "early"), (1, 0, 0, "early"), (2, 0, 0, "late"), (3, 0, 0, "late")]
    times = [rotas.stretch(0, 8, 20, [8.0, 10.0, 13.5, 14.0, 17.0])]
    found = build_windows(rotas.problem(rows, times, 4)).windows
    assert [(w.first, w.last, w.who.tolist()) for w in found] == [
        (0, 1, [0, 1]),
        (2, 3, [0, 1, 2, 3]),
        (4, 4, [2, 3]),
    ]


def test_a_start_in_the_way_of_an_arranged_visit_or_its_walks_is_gone():
    rows = [(p, 0, 0, "early") for p in range(3)]
    times = [rotas.stretch(0, 8, 15, [8.0, 9.0, 9.75, 10.5, 11.0])]
    found = build_windows(rotas.problem(rows, times, 3, fixed=(FixedVisit(0, 9.25, 0.5),)))
    assert found.starts == ((8.0, 10.5, 11.0),)


@pytest.mark.parametrize("seed", range(80))
def test_the_limit_on_starts_allows_just_what_can_be_put_into_a_timetable(seed):
    """Oracle: every way of giving starts to windows, tried."""
    rng = np.random.default_rng(seed)
    starts = tuple(float(s) for s in range(int(rng.integers(1, 5))))
    nobody = np.empty(0, dtype=np.int64)
    windows = []
    for ward in range(int(rng.integers(1, 6))):
        first, last = sorted(rng.integers(0, len(starts), 2).tolist())
        windows.append(Window(ward, 0, 0, first, last, starts[first], 4, 2, nobody))
    problem = rotas.problem([], [rotas.stretch(0, 0, 12, starts)], 0, wards=6, visit_h=0.5, walk_h=0.5)
    whole = Windows(tuple(windows), (starts,))
    rows = Rows(len(windows) + 1)
    limit_rows(rows, problem, whole)
    for chosen in product((0, 1), repeat=len(windows)):
        allowed = np.all(rows.matrix @ np.array([*chosen, 1.0]) <= rows.upper + 1e-9)
        picked = [w for w, c in zip(windows, chosen, strict=True) if c]
        ways = permutations(range(len(starts)), len(picked))
        possible = len(picked) <= len(starts) and any(
            all(w.first <= s <= w.last for w, s in zip(picked, way, strict=True)) for way in ways
        )
        assert allowed == possible
        if possible:
            given = timetable(whole, picked)
            assert len(set(given)) == len(given)
            assert all(starts[w.first] <= s <= starts[w.last] for w, s in zip(picked, given, strict=True))


def test_two_windows_that_want_one_start_are_a_fault_not_a_silent_double():
    one = Window(0, 0, 0, 0, 0, 8.0, 4, 2, np.empty(0, dtype=np.int64))
    with pytest.raises(ArithmeticError):
        timetable(Windows((one, one), ((8.0,),)), [one, one])


def test_what_a_ward_keeps():
    cover = Cover(share=0.25, most=3, stay=2, round_h=0.25)
    assert [at_once(n, cover) for n in (1, 2, 3, 7, 8, 30)] == [0, 0, 1, 1, 2, 3]
    assert [places(8, h, cover) for h in (0.2, 0.25, 0.6, 1.0)] == [0, 2, 4, 8]


def test_rest_is_kept_between_days_and_not_within_one():
    assert not too_close((8, 12), (13, 20), 11)
    assert too_close((20, 25), (32, 40), 11)
    assert not too_close((20, 25), (36, 44), 11)
    assert too_close((8, 16), (20, 25), 11)
    assert too_close((22, 24), (30, 35), 11)
