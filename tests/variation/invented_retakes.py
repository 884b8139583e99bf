"""Invented stays in which people look again at what surprises them: one truth at a time, every seed given.

Each stay is read about every five hours, mostly by forehead scan, sometimes by mouth. A first reading that is low,
high or far from the stay's reading before is often followed within a quarter of an hour at the other site; some are
so without reason. The patient's temperature is a patient's own level plus an Ornstein-Uhlenbeck course.
"""

from dataclasses import dataclass, replace

import numpy as np

from browline.readings import Readings

START = 24.0 * 365 * 56
TEMPORAL, ORAL = 0, 1


@dataclass(frozen=True)
class Retakes:
    """One truth. Spreads in °C; `temporal_c` is the forehead against the mouth where the mouth reads 37.0.

    - `mean_c` of the stays at 37.0 + this; `tau` hours; `slope` of the forehead against the mouth.
    - `freedom` of the errors (None: normal); `uneven`: sd of the log of each stay's own spread.
    - `own_site`: sd of a patient's constant difference at each site.
    - `uncharted`: share of triggering first readings left off the chart; `farthest`: those farthest from the
      reading before, else any. `unseen`: chance of a second look because the patient looks ill.
    - `by_mouth`: share of rounds read by mouth first; `idle`: chance of a second look without reason.
    """

    temporal_c: float = -0.25
    mean_c: float = 0.10
    patient: float = 0.35
    course: float = 0.35
    tau: float = 24.0
    error: tuple[float, float] = (0.25, 0.18)
    freedom: float | None = None
    uneven: float = 0.0
    own_site: float = 0.0
    slope: float = 1.0
    uncharted: float = 0.0
    farthest: bool = False
    unseen: float = 0.0
    by_mouth: float = 0.12
    idle: float = 0.06


TRUTHS = {
    "Gaussian": Retakes(),
    "t3 errors": Retakes(freedom=3.0),
    "spread differs by patient": Retakes(uneven=0.5),
    "patient x site": Retakes(own_site=0.15),
    "slope 0.75": Retakes(slope=0.75),
    "uncharted first readings": Retakes(uncharted=0.4),
    "farthest uncharted": Retakes(uncharted=0.4, farthest=True),
    "unseen illness": Retakes(unseen=0.5),
}


@dataclass(frozen=True)
class _Looks:
    """Readings of one kind taken in one round: `stay`, `time`, `site`, `value`."""

    stay: np.ndarray
    time: np.ndarray
    site: np.ndarray
    value: np.ndarray


def retakes(truth: Retakes, seed: int, stays: int = 1500, rounds: int = 10) -> Readings:
    """The charted readings of this truth."""
    rng = np.random.default_rng(seed)
    spread = np.exp(rng.normal(0, truth.uneven, stays) - truth.uneven**2 / 2)
    level = truth.mean_c + rng.normal(0, truth.patient, stays)
    own = rng.normal(0, truth.own_site, (stays, 2))
    course = rng.normal(0, 1, stays)
    clock = START + rng.uniform(0, 24 * 90, stays)
    before = np.full(stays, np.nan)
    looks: list[_Looks] = []
    everyone = np.arange(stays)
    for _ in range(rounds):
        gap = rng.uniform(4.0, 6.0, stays)
        clock = clock + gap
        course = _moved(course, gap, truth.tau, rng)
        site = (rng.random(stays) < truth.by_mouth).astype(int)
        x = level + truth.course * spread * course
        first = _read(truth, x, site, own, spread, rng)
        idle, moved = _decided(truth, first, before, x, rng)
        later = rng.uniform(3, 15, stays) / 60
        course = _moved(course, later, truth.tau, rng)
        x = level + truth.course * spread * course
        second = _read(truth, x, 1 - site, own, spread, rng)
        missing = moved & _left_out(truth, first, before, moved, rng)
        again = idle | moved
        looks.append(_Looks(everyone[~missing], clock[~missing], site[~missing], first[~missing]))
        looks.append(_Looks(everyone[again], (clock + later)[again], 1 - site[again], second[again]))
        before = np.where(again, second, first)
    return _charted(looks, stays)


def _moved(course, hours, tau, rng):
    """The course some hours on, in its own standard deviations."""
    kept = np.exp(-hours / tau)
    return kept * course + np.sqrt(1 - kept**2) * rng.normal(0, 1, len(course))


def _read(truth, x, site, own, spread, rng):
    """One reading of everybody, at the site given, to 0.1 °C."""
    n = len(x)
    noise = rng.normal(0, 1, n) if truth.freedom is None else 0.75 * rng.standard_t(truth.freedom, n)
    error = np.array(truth.error)[site] * spread * noise
    forehead = truth.temporal_c + truth.slope * x
    value = 37.0 + np.where(site == TEMPORAL, forehead, x) + own[np.arange(n), site] + error
    return np.round(value, 1)


def _decided(truth, first, before, x, rng):
    """Who is read again without reason, and who because of a reason, seen on the chart or not."""
    n = len(first)
    fall = np.nan_to_num(before - first)
    triggered = 0.7 * (first < 36.4) + 0.3 * (first >= 38.0) + 0.3 * (fall > 0.7) + 0.1 * (fall < -0.9)
    ill = (x + rng.normal(0, 0.25, n) > 0.7) & (first < 37.9)
    draw = rng.random(n)
    moved = draw < np.minimum(triggered, 0.9)
    moved |= ill & (rng.random(n) < truth.unseen)
    return (rng.random(n) < truth.idle) & ~moved, moved


def _left_out(truth, first, before, moved, rng):
    """Which triggering first readings never reach the chart."""
    if not truth.uncharted:
        return np.zeros(len(first), bool)
    if not truth.farthest:
        return rng.random(len(first)) < truth.uncharted
    far = np.abs(first - np.where(np.isfinite(before), before, 37.0))
    return far > np.quantile(far[moved], 1 - truth.uncharted)


def _charted(looks: list[_Looks], stays: int) -> Readings:
    stay, time, site, value = (
        np.concatenate([getattr(one, name) for one in looks]) for name in ("stay", "time", "site", "value")
    )
    none = np.full(len(value), -1, np.int32)
    codes = {"patient": stay.astype(np.int32), "stay": stay.astype(np.int32), "site": site.astype(np.int32)}
    names = {"patient": tuple(map(str, range(stays))), "stay": tuple(map(str, range(stays)))}
    codes |= dict.fromkeys(("instrument", "person", "ward"), none)
    names |= {"site": ("temporal", "oral"), "instrument": (), "person": (), "ward": ()}
    return Readings(time, time % 24, value, codes, names)


def without(truth: Retakes, **changed: float) -> Retakes:
    """The same truth with something changed."""
    return replace(truth, **changed)
