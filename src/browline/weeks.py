"""Weeks of readings: from Monday midnight to Monday midnight, UTC."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

WEEK_HOURS = 168.0


def weeks(time: NDArray[np.float64]) -> tuple[NDArray[np.int64], float]:
    """Week number of every reading, counted from the Monday (UTC) of the first, and that Monday's midnight in hours.

    `time`: float64[n], hours since 1970-01-01 00:00 UTC; no reading has no week, and the Monday is 0.
    """
    if not len(time):
        return np.zeros(0, np.int64), 0.0
    day = float(np.floor(time.min() / 24.0))
    # Day 0, 1 Jan 1970, was a Thursday.
    first = (day - (day + 3.0) % 7.0) * 24.0
    return np.floor((time - first) / WEEK_HOURS).astype(np.int64), first


def monday(first: float, week: int) -> date:
    """The Monday of a week, counted from the midnight `first` (hours, as `weeks` returns it).

    >>> monday(96.0, 1)
    datetime.date(1970, 1, 12)
    """
    return datetime.fromtimestamp((first + week * WEEK_HOURS) * 3600.0, UTC).date()


def monday_of(day: date) -> date:
    """The Monday of a day's week.

    >>> monday_of(date(2026, 11, 25))
    datetime.date(2026, 11, 23)
    """
    return day - timedelta(days=day.weekday())
