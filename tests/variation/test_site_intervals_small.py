"""Offsets and slopes of sites in a few invented hospitals; studies/test_site_intervals.py asks two thousand."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "studies"))

SEEDS = range(12)
ROUGHLY_ONE = (0.55, 1.35)


@pytest.fixture(scope="module")
def rows():
    """Twelve small hospitals in which the forehead rises by 0.75 to 1.2 °C where the mouth rises by 1."""
    from hospitals import SHAPES, TRUTHS, hospital
    from test_site_intervals import rows

    sloped = next(t for t in TRUTHS if t.slopes)
    shape = SHAPES[0]
    made = [rows(shape, sloped, hospital(shape, sloped, seed)) for seed in SEEDS]
    return [row for some in made for row in some if row.site == "temporal"]


def spread(values):
    return float(np.sqrt(np.mean(np.square(values))))


def test_the_offset_is_that_of_the_instruments_used_here(rows):
    assert abs(np.mean([r.off for r in rows])) < 0.02
    assert ROUGHLY_ONE[0] < spread([1.96 * r.off / r.alone for r in rows]) < ROUGHLY_ONE[1]


def test_the_interval_is_narrower_than_the_instruments_differ(rows):
    """Three scanners of sd 0.08 °C leave a site's own constant open to 1.96 * 0.08 / sqrt(3) = 0.09 °C."""
    assert np.median([r.alone for r in rows]) < 0.05


def test_slopes_lie_where_their_intervals_say(rows):
    assert all(np.isfinite(r.slope) for r in rows)
    assert ROUGHLY_ONE[0] < spread([1.96 * r.slope / r.slope_half for r in rows]) < ROUGHLY_ONE[1]


def test_the_same_seed_is_the_same_hospital():
    from hospitals import SHAPES, TRUTHS, hospital

    one, same, other = (hospital(SHAPES[1], TRUTHS[1], seed) for seed in (3, 3, 4))
    assert np.array_equal(one.readings.value, same.readings.value) and one.offset_c == same.offset_c
    assert not np.array_equal(one.readings.value[:50], other.readings.value[:50])


def test_far_from_37_the_doubt_about_the_slope_is_in_the_offset():
    """A line known at x = 1 and read at 0: the variance gains x^2 var(slope), as in any straight-line regression."""
    from hospitals import SHAPES, TRUTHS, hospital, without

    from browline.variation import Problem
    from browline.variation.fit import fit
    from browline.variation.joint_model import factor_levels
    from browline.variation.model import model
    from browline.variation.sites import by_slope, contrasts
    from browline.variation.tables import Fitted

    made = hospital(SHAPES[0], without(TRUTHS[0], mean_c=1.0), 5)
    problem = Problem.from_readings(made.readings, reference_site="oral")
    kinds = factor_levels(problem)
    fitted = Fitted(fit(model(problem, {name: kind.codes for name, kind in kinds.items()})), kinds)
    gained = np.sqrt(by_slope(fitted, contrasts(problem, fitted)))
    k = problem.sites.index("temporal")
    assert gained[0] == pytest.approx(0.0, abs=1e-9)
    assert gained[k] == pytest.approx(1.0 * fitted.fit.slope_sd()[k], rel=0.15)
