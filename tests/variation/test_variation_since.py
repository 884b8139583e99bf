"""Since when: the evidence against brute force, planted steps found and dated, honest instruments left alone."""

from datetime import timedelta

import numpy as np
import pytest
from invented_readings import START, Truth, readings
from scipy.stats import multivariate_normal

from browline.variation import Problem, findings, solve
from browline.variation.change_point import LEVEL_SD, PRIOR_CHANGE, STEP_SD, change
from browline.variation.levels import levels
from browline.variation.stays.cells import Cells
from browline.variation.tables import day


def cells_of(means, sds, n=50):
    information = np.diag(1 / sds**2)
    return Cells(np.arange(len(means)), np.full(len(means), n), information, information @ means)


def test_evidence_equals_brute_force():
    """Oracle kind: enumeration. Every week of the change, each with its exact multivariate normal density."""
    rng = np.random.default_rng(5)
    sds = rng.uniform(0.05, 0.2, 9)
    means = np.where(np.arange(9) >= 5, -0.25, 0.05) + rng.normal(0, sds)
    base = np.diag(sds**2) + LEVEL_SD**2
    none = multivariate_normal(np.zeros(9), base).pdf(means)
    by_week = []
    for k in range(1, 9):
        after = (np.arange(9) >= k).astype(float)
        by_week.append(
            multivariate_normal(np.zeros(9), base + STEP_SD**2 * np.outer(after, after)).pdf(means)
        )
    changed = PRIOR_CHANGE * np.mean(by_week)
    got = change(cells_of(means, sds))
    assert got.week == int(np.argmax(by_week)) + 1
    assert got.probability == pytest.approx(changed / (changed + (1 - PRIOR_CHANGE) * none), rel=1e-9)


def test_weeks_that_share_a_stay_are_not_counted_twice():
    """Two weeks whose means are one and the same witness say less than two that are apart."""
    means, sds = np.array([0.0, 0.0, 0.0, 0.3, 0.3, 0.3]), np.full(6, 0.1)
    shared = np.diag(sds**2) + 0.09 * np.kron(np.eye(2), np.ones((3, 3)))
    information = np.linalg.inv(shared)
    tied = change(Cells(np.arange(6), np.full(6, 50), information, information @ means))
    assert tied.probability < change(cells_of(means, sds)).probability


@pytest.mark.parametrize("step,splits", [(0.5, True), (0.12, False)])
def test_only_a_step_that_matters_splits(step, splits):
    """Both steps are beyond doubt; the small one is far inside any tolerance."""
    got = change(cells_of(np.where(np.arange(8) >= 4, step, 0.0), np.full(8, 0.01)))
    assert got.probability > 0.99
    assert got.splits == splits


def test_a_few_odd_readings_at_the_end_are_no_change():
    means = np.array([0.0, 0.0, 0.0, 0.0, 0.0, 1.0])
    cells = cells_of(means, np.full(6, 0.02))
    few = Cells(cells.label, np.array([50, 50, 50, 50, 50, 6]), cells.information, cells.score)
    assert change(cells).week == 5
    assert change(few).week < 5


@pytest.mark.parametrize("weeks,n", [(3, 50), (6, 2)])
def test_too_few_to_tell(weeks, n):
    assert change(cells_of(np.zeros(weeks), np.full(weeks, 0.1), n)) is None


@pytest.fixture(scope="module")
def stepped():
    truth = Truth(step={4: (-0.35, 90 * 24.0), 9: (0.6, 120 * 24.0)}, offsets={2: -0.5})
    return solve(
        Problem.from_readings(readings(15_000, instruments=25, people=40, wards=5, seed=8, truth=truth))
    )


@pytest.mark.parametrize("which,size,days", [(4, -0.35, 90), (9, 0.6, 120)])
def test_a_fault_that_starts_part_way_is_found_and_dated(stepped, which, size, days):
    got = stepped.instruments[which]
    assert got.changed
    assert abs((got.since - (day(START) + timedelta(days=days))).days) <= 8
    assert got.offset_c - got.earlier_c == pytest.approx(size, abs=0.08)
    assert got.name in [f.subject_id for f in findings(stepped)]
    assert got.n < 700


def test_a_fault_from_the_start_dates_from_the_first_reading(stepped):
    got = stepped.instruments[2]
    assert not got.changed
    assert (got.since - day(START)).days <= 3


def test_honest_instruments_are_left_alone():
    """50 honest instruments, about 240 readings each: no more than 1 said to have changed."""
    result = solve(Problem.from_readings(readings(12_000, instruments=50, people=60, wards=6, seed=21)))
    assert sum(e.changed for e in result.instruments) <= 1
    assert [f.sentence for f in findings(result)] == []


def test_segments_stay_in_time_whichever_was_split_first():
    time = np.arange(9.0)
    kind = levels(np.zeros(9, np.int64)).split(0, time >= 6, began=6.0)
    kind = kind.split(0, time >= 3, began=3.0)
    assert kind.codes.tolist() == [0, 0, 0, 2, 2, 2, 1, 1, 1]
    assert kind.latest.tolist() == [False, True, False]
    assert [kind.earlier(k) for k in (0, 1, 2)] == [None, 2, 0]


def test_the_day_of_an_offset_is_the_first_of_the_readings_counted_with_it():
    """A lens that sinks and is cleaned by turns has no one step: the offset rests on all readings, so does the day."""
    from datetime import UTC, datetime

    from browline.synthetic import invent, readings_of
    from browline.variation import Problem, solve

    readings = readings_of(invent(9000, seed=4))
    for effect in solve(Problem.from_readings(readings)).instruments:
        mine = readings.codes["instrument"] == readings.names["instrument"].index(effect.name)
        if effect.since is not None:
            first = (
                datetime(effect.since.year, effect.since.month, effect.since.day, tzinfo=UTC).timestamp()
                / 3600
            )
            assert (mine & (readings.time >= first)).sum() >= effect.n
            assert effect.changed or (mine & (readings.time >= first)).sum() == mine.sum()
