"""Names beside marks: near, inside, and over nothing where there is room."""

import random
from itertools import combinations

import pytest

from browline.figures.beside import LETTER_WIDTH, LINE, MARK, Box, beside


def boxes(placed):
    return [Box(n.x, n.y, LETTER_WIDTH * len(n.text) / 2, LINE / 2) for n in placed if n]


def test_a_lone_name_stands_to_the_right_of_its_mark():
    (name,) = beside([(100, 100)], ["Hazel"], 400, 200)
    assert (name.y, name.led) == (100, False)
    assert name.x - LETTER_WIDTH * 5 / 2 == pytest.approx(109)


def test_a_name_at_the_right_edge_stands_to_the_left():
    (name,) = beside([(398, 100)], ["Hazel"], 400, 200)
    assert name.x + LETTER_WIDTH * 5 / 2 <= 398 - MARK


def test_marks_without_a_name_stay_without():
    assert beside([(10, 10), (50, 50)], [None, "Elm"], 100, 100)[0] is None


@pytest.mark.parametrize("seed", range(10))
def test_a_crowd_covers_neither_names_nor_marks(seed):
    draw = random.Random(seed)
    marks = [(draw.uniform(0, 500), draw.uniform(0, 250)) for _ in range(25)]
    placed = boxes(beside(marks, ["Hazel"] * 25, 500, 250))
    assert not any(a.over(b) for a, b in combinations(placed, 2))
    assert not any(box.over(Box(x, y, MARK, MARK)) for box in placed for x, y in marks)
    assert all(b.x - b.half_width >= 0 and b.x + b.half_width <= 500 for b in placed)
    assert all(b.y - b.half_height >= 0 and b.y + b.half_height <= 250 for b in placed)


def test_what_is_taken_is_left_free():
    wall = Box(130, 100, 20, 60)
    (name,) = beside([(100, 100)], ["Hazel"], 400, 200, [wall])
    assert boxes([name])[0].over(wall) == 0


def test_a_name_far_from_its_mark_is_led_to_by_its_nearest_edge():
    crowd = [(100 + 10 * (i % 6), 100 + 10 * (i // 6)) for i in range(36)]
    names = [None] * 14 + ["Hazel"] + [None] * 21
    name = beside(crowd, names, 400, 300)[14]
    assert name.led
    x, y = name.edge(*crowd[14])
    assert abs(x - name.x) <= LETTER_WIDTH * 5 / 2 and abs(y - name.y) <= LINE / 2
