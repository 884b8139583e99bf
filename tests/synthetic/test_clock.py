"""The ward's clock against the standard library's zone arithmetic, at and around both clock changes."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from browline.synthetic.clock import Clock

CLOCK = Clock("Europe/London", date(2025, 10, 13), 182)
HOUR_ENDS = datetime(
    2025, 10, 26, 1, 0, tzinfo=UTC
)  # summer time ends, published by gov.uk: last Sunday of October
HOUR_BEGINS = datetime(2026, 3, 29, 1, 0, tzinfo=UTC)  # and begins on the last Sunday of March


@pytest.mark.parametrize("change", [HOUR_ENDS, HOUR_BEGINS])
def test_the_wall_clock_agrees_with_the_standard_library_around_a_change(change: datetime) -> None:
    instants = change.timestamp() / 3600 + np.arange(-180, 181) / 60
    expected = [
        datetime.fromtimestamp(t * 3600, ZoneInfo("Europe/London")).strftime("%Y-%m-%d %H:%M")
        for t in instants
    ]
    assert CLOCK.written(instants).tolist() == expected


def test_an_hour_is_written_twice_in_autumn_and_left_out_in_spring() -> None:
    autumn = CLOCK.written(HOUR_ENDS.timestamp() / 3600 + np.arange(-1.0, 1.0, 0.5))
    spring = CLOCK.written(HOUR_BEGINS.timestamp() / 3600 + np.array([-0.5, 0.0]))
    assert [t[-5:] for t in autumn] == ["01:00", "01:30", "01:00", "01:30"]
    assert [t[-5:] for t in spring] == ["00:30", "02:00"]


def test_a_planned_wall_time_comes_back_except_in_the_hour_that_is_skipped() -> None:
    wall = CLOCK.origin + np.arange(0, 182 * 24, 0.25)
    back = CLOCK.wall(CLOCK.instant(wall))
    assert (np.abs(back - wall) > 1e-9).sum() == 4  # the four quarters of the skipped hour


def test_the_export_spans_whole_local_days() -> None:
    assert CLOCK.written(np.array(CLOCK.span)).tolist() == ["2025-10-13 00:00", "2026-04-13 00:00"]
