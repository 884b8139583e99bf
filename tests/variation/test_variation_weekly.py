"""Week by week: recovery of a planted step, weeks that begin on Mondays, every reading in one week."""

from dataclasses import replace

import numpy as np
import pytest

from browline.synthetic import Fault, invent, readings_of
from browline.variation import Problem, solve


@pytest.fixture(scope="module")
def stepped():
    """A hospital of 12,000 readings in which one instrument drops by 0.5 °C half-way."""
    hospital = invent(12_000, seed=3, faults=(Fault("step", -0.5, since=0.5),))
    return hospital, solve(Problem.from_readings(readings_of(hospital)))


def test_weeks_show_the_step_that_was_planted(stepped):
    hospital, result = stepped
    planted = hospital.truth["instruments"][0]
    weeks = result.weeks["instrument"][planted["instrument"]]
    before = [w for w in weeks if str(w.week) < planted["first_day"]][:-1]
    after = [w for w in weeks if str(w.week) > planted["first_day"]]
    weighted = [np.average([w.mean_c for w in part], weights=[w.n for w in part]) for part in (before, after)]
    assert weighted[1] - weighted[0] == pytest.approx(-0.5, abs=0.1)
    sure = [w for w in after if w.high_c < 0]
    assert len(sure) > len(after) / 2


def test_weeks_begin_on_mondays_and_hold_every_reading_of_the_instrument(stepped):
    _, result = stepped
    by_name = {e.name: e for e in result.instruments}
    for name, weeks in result.weeks["instrument"].items():
        assert all(w.week.weekday() == 0 for w in weeks)
        assert sum(w.n for w in weeks) >= by_name[name].n
        assert by_name[name].changed or sum(w.n for w in weeks) == by_name[name].n


def test_intervals_of_honest_weeks_hold_the_instruments_own_level_about_19_times_in_20(stepped):
    hospital, result = stepped
    faulty = hospital.truth["instruments"][0]["instrument"]
    held = [
        w.low_c <= e.offset_c <= w.high_c
        for e in result.instruments
        if e.name != faulty and e.n >= 300
        for w in result.weeks["instrument"][e.name]
        if w.n >= 5
    ]
    assert len(held) > 200
    # The own level is itself estimated and weeks share it, and stays move within a week: 88 to 99 % is allowed.
    assert 0.88 <= np.mean(held) <= 0.99


def test_without_instruments_there_are_no_weeks_of_any(stepped):
    hospital, _ = stepped
    readings = readings_of(hospital)
    codes = {**readings.codes, "instrument": np.full(len(readings), -1, np.int32)}
    assert list(solve(Problem.from_readings(replace(readings, codes=codes))).weeks) == ["ward"]
