"""A stay of 5,000 readings: the same sums as a dense inverse on a prefix, and never a square of its readings."""

import tracemalloc

import numpy as np
import pytest
from stays_of import plain

from browline.variation.stays.adjoint import adjoint
from browline.variation.stays.columns import Columns, Factor, columns
from browline.variation.stays.course import course
from browline.variation.stays.passes import sums
from browline.variation.stays.residuals import residuals

LONG, PREFIX = 5_000, 400
AT = course(1, 2, slope=np.array([1.0, 0.9]))


def one_stay(m: int) -> Columns:
    """The first m readings of one stay, six minutes apart, read with five instruments at two sites."""
    rng = np.random.default_rng(1)
    y, instrument, site = rng.normal(size=LONG), rng.integers(0, 5, LONG), rng.integers(0, 2, LONG)
    x = np.column_stack([np.ones(LONG), site])
    factors = [Factor("instrument", instrument[:m], 5)]
    return columns(y[:m], x[:m], factors, np.zeros(m, int), np.arange(m) * 0.1, site=site[:m])


def test_a_prefix_of_the_stay_equals_the_dense_inverse():
    made = one_stay(PREFIX)
    b, v = plain(made, AT)
    gram, got = b.T @ np.linalg.solve(v, b), sums(made, AT)
    assert got.zz == pytest.approx(gram[:5, :5], rel=1e-9, abs=1e-7)
    assert got.cc == pytest.approx(gram[5:, 5:], rel=1e-9, abs=1e-7)
    assert got.logdet == pytest.approx(np.linalg.slogdet(v)[1], abs=1e-7)


@pytest.mark.parametrize("what", ["sums", "adjoint", "left"])
def test_a_long_stay_takes_no_square_of_its_readings(what):
    """A covariance of 5,000 readings takes 200 MB; each pass stays under a twentieth of that."""
    made = one_stay(LONG)
    passes = {
        "sums": lambda c: sums(c, AT).cc,
        "adjoint": lambda c: adjoint(c, AT, np.eye(7), np.ones(8)).slopes,
        "left": lambda c: residuals(c, AT, np.zeros(5), np.zeros(2)).weighted,
    }
    passes[what](one_stay(50))  # Compiled before it is measured.
    tracemalloc.start()
    found = passes[what](made)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert np.isfinite(found).all()
    assert 0 < peak < LONG * LONG * 8 / 20


def test_a_stay_touches_each_of_its_effects_once():
    """The width of a pass: five instruments, two fixed columns, y, a level and two sites, however long the stay."""
    assert len(one_stay(LONG).arrays.touched) == len(one_stay(PREFIX).arrays.touched) == 5
    assert one_stay(LONG).arrays.cells.tolist() == [2]
