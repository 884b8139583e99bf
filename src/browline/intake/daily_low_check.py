"""Does the daily low fall at a likely hour? If not, the clock of the file may be in another time zone.

The mean temperature of adults is lowest at about 06 h and highest at 16 to 18 h (Mackowiak, Wasserman and
Levine 1992, JAMA 268:1578, 148 adults). A cosine of 24 h is fitted to the hourly means, weighted by counts:
``y(h) = m + a cos(2πh/24) + b sin(2πh/24)``.
"""

import math
from collections.abc import Sequence

import numpy as np

# Twelve hours before the middle of the peak is 05 h; four hours each way covers wards, ages and fevers.
LIKELY_FROM, LIKELY_UNTIL = 1.0, 9.0
_LEAST_READINGS, _LEAST_HOURS = 300, 12
_SURE = 0.01
_TWO_SIDED_95 = 1.96


def daily_low_warning(hour_means: Sequence[tuple[float, int]]) -> str | None:
    """A sentence where the daily low is clearly at an unlikely hour; None otherwise, or with too little data.

    `hour_means`: 24 pairs, mean temperature in °C of each hour of the ward's day and the number of readings
    behind it (any mean where the number is 0).

    >>> honest = [(36.8 - 0.25 * math.cos(2 * math.pi * (h + 0.5 - 5) / 24), 100 + h % 3) for h in range(24)]
    >>> daily_low_warning(honest) is None, daily_low_warning(honest[-8:] + honest[:-8])[:39]
    (True, 'Temperatures are lowest at about 13:00,')
    """
    hours = np.array([h + 0.5 for h, (_, n) in enumerate(hour_means) if n > 0])
    means = np.array([m for m, n in hour_means if n > 0])
    counts = np.array([float(n) for _, n in hour_means if n > 0])
    if counts.sum() < _LEAST_READINGS or len(hours) < _LEAST_HOURS:
        return None
    low, uncertain, p_value = _low_hour(hours, means, counts)
    if p_value > _SURE or _distance(low) <= uncertain:
        return None
    return (
        f"Temperatures are lowest at about {round(low) % 24:02d}:00, and people are coldest in the early morning "
        f"(about 04 to 06 h). Is the time zone of the file right?"
    )


def _low_hour(hours: np.ndarray, means: np.ndarray, counts: np.ndarray) -> tuple[float, float, float]:
    """Hour of the low, half-width of its 95 % interval in hours, and the p-value of a rhythm against none."""
    angle = 2 * np.pi * hours / 24
    design = np.column_stack([np.ones_like(angle), np.cos(angle), np.sin(angle)])
    normal = np.linalg.inv(design.T @ (counts[:, None] * design))
    level, a, b = normal @ (design.T @ (counts * means))
    free = len(hours) - 3
    residual_variance = float(counts @ (means - design @ [level, a, b]) ** 2) / free
    flat = float(counts @ (means - np.average(means, weights=counts)) ** 2)
    ratio = max(flat - residual_variance * free, 0.0) / 2 / max(residual_variance, 1e-12)
    # The F distribution with 2 and `free` degrees of freedom has this tail in closed form.
    p_value = (1 + 2 * ratio / free) ** (-free / 2)
    slope = np.array([-b, a]) / (a * a + b * b)  # derivative of the phase atan2(b, a)
    variance = residual_variance * float(slope @ normal[1:, 1:] @ slope)
    low = (math.atan2(b, a) * 24 / (2 * math.pi) + 12) % 24
    return low, _TWO_SIDED_95 * math.sqrt(variance) * 24 / (2 * math.pi), p_value


def _distance(hour: float) -> float:
    """Hours from the likely span, around the clock; 0 inside it."""
    if LIKELY_FROM <= hour <= LIKELY_UNTIL:
        return 0.0
    return min((LIKELY_FROM - hour) % 24, (hour - LIKELY_UNTIL) % 24)
