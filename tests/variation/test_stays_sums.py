"""The merging sums against dense matrices, and known answers of the smallest stays.

Oracle kind: dense twin (plain formulas on n by n matrices, stays_of.py), and arithmetic by hand.
"""

from functools import reduce
from operator import add

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stays_of import cut, plain, stays

from browline.variation.stays import passes
from browline.variation.stays.columns import Factor, columns
from browline.variation.stays.course import course
from browline.variation.stays.cross_products import nothing

PARTS = ("zz", "zc", "cc")
SPREADS = {
    "all": {"patient": np.array([0.4, 0.7]), "course": np.array([0.3, 0.5]), "hours": np.array([6.0, 20.0])},
    "no course": {"course": 0.0},
    "no site": {"patient_site": 0.0},
    "no patient": {"patient": 0.0},
    "error alone": {"patient": 0.0, "course": 0.0, "patient_site": 0.0},
    "squeezed": {"slope": np.array([1.0, 0.75, 1.2]), "reading": np.array([0.1, 0.3, 0.5])},
    "short": {"hours": 0.3},
    "long": {"hours": 2000.0},
}


def close(got, want, tolerance=1e-9):
    """Both sums alike, entry by entry, against the largest entry of their part."""
    for part in PARTS:
        a, b = getattr(got, part), getattr(want, part)
        assert a == pytest.approx(b, abs=tolerance * max(np.abs(b).max(), 1.0))
    assert got.logdet == pytest.approx(want.logdet, abs=max(tolerance, 1e-8))
    assert got.n == want.n


def twin(columns_, at):
    b, v = plain(columns_, at)
    q = columns_.effects
    gram = b.T @ np.linalg.solve(v, b)
    made = nothing(q, columns_.arrays.x.shape[1])
    return type(made)(len(b), gram[:q, :q], gram[:q, q:], gram[q:, q:], float(np.linalg.slogdet(v)[1]))


@pytest.mark.parametrize("which", SPREADS)
@pytest.mark.parametrize("seed", [1, 2])
def test_the_sums_equal_the_dense_twin(which, seed):
    made, at = stays(seed), course(2, 3, **SPREADS[which])
    close(passes.sums(made, at), twin(made, at))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 50), st.integers(1, 30))
def test_any_shape_equals_the_dense_twin(seed, n, count):
    made, at = stays(seed, n, count), course(2, 3, **SPREADS["squeezed"])
    close(passes.sums(made, at), twin(made, at))


def halves(seed=3):
    made, at = stays(seed), course(2, 3, **SPREADS["squeezed"])
    middle = made.stays // 2
    return made, at, passes._sums(made, at, 0, middle), passes._sums(made, at, middle, made.stays)


def test_the_sums_of_two_halves_add_to_the_whole():
    made, at, one, other = halves()
    assert one.n > 0 and other.n > 0
    close(one + other, passes.sums(made, at), 1e-12)
    close(other + one, passes.sums(made, at), 1e-12)


def test_nothing_adds_nothing():
    made, _, one, _ = halves()
    close(one + nothing(made.effects, 3), one, 1e-15)


def test_stays_one_by_one_in_any_order_are_the_whole():
    made, at = stays(4), course(2, 3)
    each = [passes._sums(made, at, s, s + 1) for s in range(made.stays)]
    close(reduce(add, each[::-1]), passes.sums(made, at), 1e-12)


@pytest.mark.parametrize("cores", [1, 2, 5])
def test_one_thread_or_several_is_the_same(cores, monkeypatch):
    made, at = stays(5, 400, 40), course(2, 3)
    alone = passes.sums(made, at)
    monkeypatch.setattr(passes, "runs", cut(cores))
    assert len(passes.in_runs(made, lambda start, stop: stop - start)) == cores
    close(passes.sums(made, at), alone, 1e-12)


@pytest.mark.parametrize("small", [10, 10_000])
def test_runs_cover_every_stay_once_and_are_about_as_long(small, monkeypatch):
    monkeypatch.setattr(passes, "SMALL", small)
    made = stays(5, 400, 40)
    edges = passes.runs(made)
    assert edges[0] == 0 and edges[-1] == made.stays and (np.diff(edges) > 0).all()
    readings = np.diff(made.arrays.first[edges])
    assert readings.sum() == 400 and readings.max() < 400 / len(readings) + 30
    assert small == 10 or len(readings) == 1


def test_the_order_of_the_rows_does_not_matter():
    rng = np.random.default_rng(0)
    n, at = 80, course(1, 1)
    y, x, time = rng.normal(size=n), np.ones((n, 1)), rng.permutation(n).astype(float)
    stay, codes = rng.integers(0, 6, n), rng.integers(0, 3, n)
    shuffled = rng.permutation(n)

    def of(rows):
        return passes.sums(
            columns(y[rows], x[rows], [Factor("a", codes[rows], 3)], stay[rows], time[rows]), at
        )

    close(of(shuffled), of(np.arange(n)), 1e-12)


@pytest.mark.parametrize("step", [1, 2, 3])
def test_every_few_stays_are_those_stays_alone(step):
    made, at = stays(6), course(2, 3)
    kept = reduce(add, [passes._sums(made, at, s, s + 1) for s in range(0, made.stays, step)])
    few = made.every(step)
    close(passes.sums(few, at), kept, 1e-12)
    assert (made.arrays.y[np.isin(made.order, few.order)] == few.arrays.y).all()


def test_two_readings_by_hand():
    """V = [[a, b], [b, a]], a = patient^2 + course^2 + reading^2, b = patient^2 + course^2 / e; sites differ."""
    at = course(1, 2, patient=0.5, course=0.4, hours=3.0, patient_site=0.2, reading=0.3)
    made = columns(
        np.array([1.0, 2.0]),
        np.ones((2, 1)),
        [],
        np.zeros(2, int),
        np.array([0.0, 3.0]),
        site=np.array([0, 1]),
    )
    a, b = 0.25 + 0.16 + 0.04 + 0.09, 0.25 + 0.16 / np.e
    got = passes.sums(made, at)
    assert got.logdet == pytest.approx(np.log(a * a - b * b), rel=1e-12)
    assert got.cc[0, 0] == pytest.approx(2 / (a + b), rel=1e-12)
    assert got.cc[0, 1] == pytest.approx(3 / (a + b), rel=1e-12)
    assert got.cc[1, 1] == pytest.approx((5 * a - 4 * b) / (a * a - b * b), rel=1e-12)


def test_one_reading_by_hand():
    at = course(1, 1, patient=0.5, course=0.4, hours=3.0, patient_site=0.2, reading=0.3, slope=2.0)
    got = passes.sums(columns(np.array([3.0]), np.ones((1, 1)), [], np.zeros(1, int), np.zeros(1)), at)
    variance = 4 * (0.25 + 0.16) + 0.04 + 0.09
    assert got.cc[1, 1] == pytest.approx(9 / variance, rel=1e-12)
    assert got.logdet == pytest.approx(np.log(variance), rel=1e-12)


def limit(hours, instead):
    made = stays(7)
    one = course(2, 3, patient=0.4, course=0.5, hours=hours)
    return made, passes.sums(made, one), passes.sums(made, instead)


def test_a_course_that_never_forgets_is_a_part_of_the_patients_level():
    _, got, want = limit(1e9, course(2, 3, patient=np.hypot(0.4, 0.5), course=0.0))
    close(got, want, 1e-5)


def test_a_course_that_forgets_at_once_is_error_of_every_reading():
    """Only where no two readings share a moment: readings at one time share the course."""
    rng = np.random.default_rng(2)
    n = 40
    made = columns(rng.normal(size=n), np.ones((n, 1)), [Factor("a", rng.integers(0, 3, n), 3)],
                   rng.integers(0, 5, n), np.arange(n) * 1.0)  # fmt: skip
    got = passes.sums(made, course(1, 1, course=0.5, hours=1e-3, reading=0.2))
    want = passes.sums(made, course(1, 1, course=0.0, reading=np.hypot(0.5, 0.2)))
    close(got, want, 1e-10)


def test_a_doubtful_reading_hardly_counts_and_a_very_doubtful_one_not_at_all():
    """Error variance a million times as large: the sums are those without the reading."""
    rng = np.random.default_rng(3)
    n = 30
    y, x, stay, time = rng.normal(size=n), np.ones((n, 1)), rng.integers(0, 4, n), np.arange(n) * 2.0
    doubt = np.where(np.arange(n) == 11, 1e12, 1.0)
    keep = np.arange(n) != 11
    got = passes.sums(columns(y, x, [], stay, time, variance_weight=doubt), course())
    want = passes.sums(columns(y[keep], x[keep], [], stay[keep], time[keep]), course())
    assert got.cc == pytest.approx(want.cc, rel=1e-8)
    assert got.logdet - want.logdet == pytest.approx(np.log(1e12 * 0.25**2), abs=1e-8)


def test_the_effects_turned_are_the_effects_of_turned_columns():
    made, at = stays(8), course(2, 3)
    root = np.linalg.cholesky(0.6 ** np.abs(np.subtract.outer(np.arange(4), np.arange(4))))
    part = made.slices()["person"]
    b, v = plain(made, at)
    b[:, part] = b[:, part] @ root
    gram = b.T @ np.linalg.solve(v, b)
    got, q = passes.sums(made, at).reparametrised(part, root), made.effects
    assert got.zz == pytest.approx(gram[:q, :q], abs=1e-9)
    assert got.zc == pytest.approx(gram[:q, q:], abs=1e-9)


def test_fixed_columns_left_out_are_as_never_there():
    made, at = stays(9), course(2, 3)
    keep = np.array([True, False, True])
    c = made.arrays
    fewer = type(made)(
        c._replace(x=np.ascontiguousarray(c.x[:, keep]), scaled=c.scaled[keep]), made.factors, made.order
    )
    close(passes.sums(made, at).without(keep), passes.sums(fewer, at), 1e-12)
