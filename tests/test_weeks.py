"""Weeks of readings, against Python's own calendar."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from browline.weeks import WEEK_HOURS, monday, weeks


def _hours(*moments):
    return np.array([m.timestamp() / 3600 for m in moments])


@pytest.mark.parametrize(
    "day", [date(2026, 1, 5) + timedelta(days=k) for k in range(8)] + [date(1969, 12, 31)]
)
def test_the_first_week_begins_on_the_monday_of_the_first_reading(day):
    moment = datetime(day.year, day.month, day.day, 14, 5, tzinfo=UTC)
    week, first = weeks(_hours(moment))
    assert week.tolist() == [0]
    assert monday(first, 0) == day - timedelta(days=day.weekday())


def test_every_reading_falls_into_the_iso_week_of_its_date():
    time = np.random.default_rng(1).uniform(487_000, 510_000, 2000)
    week, first = weeks(time)
    for hours, k in zip(time, week, strict=True):
        day = datetime.fromtimestamp(hours * 3600, UTC)
        assert monday(first, int(k)).isocalendar()[:2] == day.isocalendar()[:2]
    assert week.min() == 0


def test_a_week_ends_where_the_next_begins():
    last, first = datetime(2026, 3, 8, 23, 59, tzinfo=UTC), datetime(2026, 3, 9, tzinfo=UTC)
    assert weeks(_hours(first, last))[0].tolist() == [1, 0]
    assert weeks(_hours(first))[1] + WEEK_HOURS == weeks(_hours(first + timedelta(days=7)))[1]


def test_no_reading_has_no_week():
    week, first = weeks(np.zeros(0))
    assert len(week) == 0 and first == 0.0
