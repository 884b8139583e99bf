"""A patient's own temperature: level, daily rhythm, Ornstein–Uhlenbeck course, and fevers as surges.

C(t) = base + mu_e + age + rhythm(local hour) + z_e(t) + sum of surges
cov(z(t), z(t')) = sd^2 exp(-|t - t'| / tau)
surge(t) = height (1 - exp(-(t - t0) / 3 h)) exp(-(t - t0) / decay),  t > t0
"""

import numpy as np

from browline.synthetic.arrays import Floats, Generator, Ints

BASE = 37.10
PATIENT_SD = 0.20
COURSE_SD = 0.25
COURSE_HOURS = 20.0
OLD_AGE, OLD_LOWER = 60, 0.23  # age >= 60 lower by 0.23 °C: the "Geneva 2019" review, PMC6456186
RISE_HOURS = 3.0

RHYTHM_PEAK_TO_TROUGH = 0.5  # Mackowiak 1992: mean amplitude 0.5 °C, nadir 6 AM, peak 4-6 PM


def rhythm(hour: Floats) -> Floats:
    """Daily rhythm in °C around its mean: two harmonics with the lowest point at 06 and the highest at 17.

        r(h) = a [cos(w (h - 17.5)) + 0.0676 cos(2 w (h - 14.5))],  w = 2 pi / 24

    The second harmonic is what makes r'(6) = r'(17) = 0; `a` makes the highest less the lowest 0.5 °C.

    >>> float(np.round(rhythm(np.array([17.0]))[0] - rhythm(np.array([6.0]))[0], 3))
    0.5
    """
    w = 2 * np.pi / 24
    shape: Floats = np.cos(w * (hour - 17.5)) + 0.0676 * np.cos(2 * w * (hour - 14.5))
    return RHYTHM_PEAK_TO_TROUGH / 2.01788 * shape


def ornstein_uhlenbeck(
    time: Floats,
    first: Ints,
    count: Ints,
    rng: Generator,
    *,
    sd: Floats | float = COURSE_SD,
    hours: Floats | float = COURSE_HOURS,
) -> Floats:
    """One exact draw of the course at the points of all stays together.

        z_k = f_k z_{k-1} + sd sqrt(1 - f_k^2) e_k,  f_k = exp(-(t_k - t_{k-1}) / tau)

    `time`: float[n] hours, ascending within each stay; stay s owns `count[s]` points from `first[s]` on.
    `sd` (°C) and `hours` (tau): one for all, or float[n], the same at all points of a stay.
    Walks along the stays side by side: the k-th point of every stay in one step.
    """
    keep = np.exp(-np.maximum(np.diff(time, prepend=0.0), 0.0) / hours)
    keep[first] = 0.0
    z = sd * np.sqrt(1.0 - keep**2) * rng.standard_normal(len(time))
    longest_first = np.argsort(-count, kind="stable")
    starts, lengths = first[longest_first], count[longest_first]
    for k in range(1, int(lengths[0])):
        points = starts[: np.searchsorted(-lengths, -k, side="left")] + k
        z[points] += keep[points] * z[points - 1]
    return z


def surge(since: Floats, height: Floats, decay: Floats) -> Floats:
    """A fever's course at `since` hours after its onset (0 before it), in °C."""
    after = np.maximum(since, 0.0)
    return height * (1.0 - np.exp(-after / RISE_HOURS)) * np.exp(-after / decay)
