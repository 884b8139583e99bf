"""The clock warning. The shape of the day: Mackowiak 1992 (low at 06 h, high at 16 to 18 h, amplitude 0.5 °C)."""

import math

import numpy as np
import pytest

from browline.intake import daily_low_warning


def day(rng, readings: int, shift: int = 0, amplitude: float = 0.25, spread: float = 0.6):
    """Hourly means of a ward with its low at 05:00, charted on a clock `shift` hours ahead."""
    hour = rng.integers(0, 24, readings)
    value = 36.9 - amplitude * np.cos(2 * np.pi * (hour + 0.5 - 5) / 24) + rng.normal(0, spread, readings)
    charted = (hour + shift) % 24
    return [
        (float(value[charted == h].mean()) if (charted == h).any() else math.nan, int((charted == h).sum()))
        for h in range(24)
    ]


@pytest.mark.parametrize("shift", [6, 8, 10, 12, -7, -10])
def test_warns_where_the_clock_is_far_off(shift) -> None:
    warned = [daily_low_warning(day(np.random.default_rng(s), 20_000, shift)) for s in range(20)]
    assert sum(w is not None for w in warned) >= 19
    assert f"{(5 + shift) % 24:02d}:00" in " ".join(w or "" for w in warned)


@pytest.mark.parametrize("shift", [-2, -1, 0, 1, 2])
def test_stays_quiet_for_honest_clocks_and_summer_time(shift) -> None:
    assert not any(daily_low_warning(day(np.random.default_rng(s), 20_000, shift)) for s in range(40))


def test_stays_quiet_with_too_little_data() -> None:
    assert not any(daily_low_warning(day(np.random.default_rng(s), 250, 12)) for s in range(20))
    assert daily_low_warning([(math.nan, 0)] * 24) is None


def test_stays_quiet_without_any_rhythm_but_for_one_in_a_hundred() -> None:
    false = [daily_low_warning(day(np.random.default_rng(s), 2_000, 0, amplitude=0)) for s in range(400)]
    assert (
        sum(f is not None for f in false) <= 12
    )  # the test's level is 1 in 100, and only unlikely hours count
