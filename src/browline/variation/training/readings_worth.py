"""What the readings of one stay are worth: they lean together, so ten of them tell less than ten patients would.

With V the covariance of m readings of a stay, `hours` apart, and s^2 the variance of one of them,

    V = sd_patient^2 + sd_course^2 exp(-|t - t'| / tau) + sd_reading^2 I,    share = s^2 1'V^-1 1 / m
"""

from math import sqrt

import numpy as np

MOST_OF_A_STAY = 300
"""Longer stays are worth no more to a ward's month than one of so many readings."""


def effective_share(
    per_stay: float, hours: float, patient_c: float, course_c: float, course_hours: float, reading_c: float
) -> float:
    """Effective readings a reading, 0 to 1, in stays of `per_stay` readings `hours` apart; spreads in °C.

    >>> effective_share(1, 4.0, 0.3, 0.3, 12.0, 0.2)
    1.0
    >>> round(effective_share(10, 4.0, 0.4, 0.0, 12.0, 0.3), 3)  # 1 / (1 + 9 r), r = 0.64
    0.148
    """
    m = min(max(round(per_stay), 1), MOST_OF_A_STAY)
    time = hours * np.arange(m)
    apart = np.abs(np.subtract.outer(time, time))
    v = patient_c**2 + course_c**2 * np.exp(-apart / course_hours) + reading_c**2 * np.eye(m)
    return float(v[0, 0] * np.linalg.solve(v, np.ones(m)).sum() / m)


def single_reading_sd(patient_c: float, course_c: float, reading_c: float) -> float:
    """Spread in °C of one reading about its ward-month, patients included."""
    return sqrt(patient_c**2 + course_c**2 + reading_c**2)
