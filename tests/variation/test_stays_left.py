"""What a stay leaves of every reading, and what cells of readings say, against dense inverses.

Oracle kind: dense twin (stays_of.py), and predictions of simpler models in the course's two limits.
"""

import numpy as np
import pytest
from stays_of import cut, plain, stays

from browline.variation.stays import passes
from browline.variation.stays.cells import cells_by_level
from browline.variation.stays.columns import columns
from browline.variation.stays.course import course, dense
from browline.variation.stays.residuals import estimated, residuals

AT = course(2, 3, slope=np.array([1.0, 0.75, 1.2]), course=np.array([0.3, 0.5]), hours=np.array([5.0, 20.0]))


def some(seed=1):
    made, rng = stays(seed), np.random.default_rng(seed)
    return made, rng.normal(size=made.effects), rng.normal(size=3)


@pytest.mark.parametrize("at", [AT, AT._replace(course=np.zeros(2)), AT._replace(patient_site=0.0)])
def test_what_is_left_equals_the_dense_inverse(at):
    made, u, beta = some()
    b, v = plain(made, at)
    e = b @ np.concatenate([-u, -beta, [1.0]])
    got = residuals(made, at, u, beta)
    inverse = np.linalg.inv(v)
    assert estimated(made, at, u, beta) == pytest.approx(made.arrays.y - e, abs=1e-12)
    assert got.e == pytest.approx(e, abs=1e-12)
    assert got.weighted == pytest.approx(inverse @ e, abs=1e-9)
    assert got.precision == pytest.approx(np.diag(inverse), rel=1e-9)


def test_the_surprise_is_each_reading_against_the_rest_of_its_stay():
    """``(e_i - E[e_i | others]) / sd``, by conditioning one reading on the others of its stay."""
    made, u, beta = some(2)
    got = residuals(made, AT, u, beta)
    first = made.arrays.first
    stay = int(np.diff(first).argmax())
    own = slice(first[stay], first[stay + 1])
    v, e = dense(made.arrays, AT, stay), got.e[own]
    for i in range(len(e)):
        rest = np.arange(len(e)) != i
        gain = np.linalg.solve(v[np.ix_(rest, rest)], v[rest, i])
        sd = np.sqrt(v[i, i] - v[i, rest] @ gain)
        assert got.standardised()[own][i] == pytest.approx((e[i] - gain @ e[rest]) / sd, rel=1e-8)


def wave(hours, **spreads):
    """One stay of nine readings an hour apart, and what its others say of each reading."""
    rng = np.random.default_rng(4)
    y = rng.normal(size=9)
    made = columns(y, np.zeros((9, 0)), [], np.zeros(9, int), np.arange(9.0))
    got = residuals(made, course(1, 1, hours=hours, patient_site=0.0, **spreads), np.zeros(0), np.zeros(0))
    return y, y - got.weighted / got.precision


def test_a_course_that_never_forgets_predicts_the_shrunken_mean_of_the_others():
    """Random intercept by hand: sum of the others / (8 + reading^2 / level^2)."""
    y, said = wave(1e9, patient=0.0, course=0.5, reading=0.3)
    assert said == pytest.approx((y.sum() - y) / (8 + 0.09 / 0.25), abs=1e-5)


def test_a_course_that_forgets_at_once_predicts_nothing():
    _, said = wave(1e-3, patient=0.0, course=0.5, reading=0.3)
    assert said == pytest.approx(np.zeros(9), abs=1e-9)


def test_a_course_without_error_looks_only_at_its_neighbours():
    """Markov: with k = exp(-1 / hours), the mean given both neighbours is k (before + after) / (1 + k^2)."""
    y, said = wave(3.0, patient=0.0, course=0.5, reading=1e-6)
    k = np.exp(-1 / 3)
    assert said[1:-1] == pytest.approx(k * (y[:-2] + y[2:]) / (1 + k * k), abs=1e-6)
    assert said[[0, -1]] == pytest.approx(k * y[[1, -2]], abs=1e-6)


def test_the_cells_of_every_level_equal_the_dense_inverse():
    made, u, beta = some(3)
    got = residuals(made, AT, u, beta)
    rng = np.random.default_rng(9)
    codes, label = rng.integers(-1, 4, len(made)), rng.integers(-1, 6, len(made))
    own = rng.normal(size=4)
    _, v = plain(made, AT)
    inverse, seen = np.linalg.inv(v), 0
    for level, cells in cells_by_level(made, AT, got.e, codes, label, own):
        hot = (codes[:, None] == level) & (label[:, None] == cells.label)
        c = hot.astype(float)
        assert cells.n.tolist() == hot.sum(0).tolist()
        assert cells.information == pytest.approx(c.T @ inverse @ c, abs=1e-9)
        assert cells.score == pytest.approx(c.T @ inverse @ (got.e + c.sum(1) * own[level]), abs=1e-9)
        seen += int(cells.n.sum())
    assert seen == ((codes >= 0) & (label >= 0)).sum()


def test_one_thread_or_two_leave_the_same(monkeypatch):
    made, u, beta = some(6)
    alone = residuals(made, AT, u, beta)
    monkeypatch.setattr(passes, "runs", cut(2))
    two = residuals(made, AT, u, beta)
    assert two.weighted == pytest.approx(alone.weighted, rel=1e-12)
    assert two.precision == pytest.approx(alone.precision, rel=1e-12)
