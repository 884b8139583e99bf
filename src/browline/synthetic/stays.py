"""Stays: who comes when, how long, through which wards, how old, and with what fevers ahead.

Lengths are log-normal (median 3.5 days); admissions come all the year round. A stay runs through up to three
places: the emergency department for some hours, intensive care for some days, then a ward, and some change
ward half-way. These moves are what lets wards be told from patients. All rates are our assumptions.
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Flags, Floats, Generator, Ints
from browline.synthetic.clock import Clock
from browline.synthetic.course import OLD_AGE, OLD_LOWER, PATIENT_SD
from browline.synthetic.wards import Wards

MEDIAN_DAYS, LOG_SD, LONGEST_DAYS = 3.5, 0.9, 45.0
THROUGH_EMERGENCY, THROUGH_INTENSIVE, CHANGES_WARD = 0.45, 0.10, 0.12
RETURNS = 0.10
SURGES = 2
FEVER_SHARE, FEVER_SHARE_INTENSIVE = 0.25, 0.45
PLACES = 3


@dataclass(frozen=True)
class Stays:
    """e stays; every array has e rows.

    - `patient`: number of the patient; some come back. `age`: whole years.
    - `bounds`: instants, e × 4, ascending: the stay is in `ward[:, p]` from bounds p to p + 1.
    - `level`: °C, the patient's own level with the effect of age.
    - `onset` (instants), `height` (°C), `decay` (hours): e × 2 fevers, height 0 where there is none.
    - `every`: hours between rounds on an ordinary ward, 4 or 6. `catheter`: 1 with a bladder probe.
    """

    patient: Ints
    age: Ints
    bounds: Floats
    ward: Ints
    level: Floats
    onset: Floats
    height: Floats
    decay: Floats
    every: Floats
    catheter: Ints

    def __len__(self) -> int:
        return len(self.patient)


def make_stays(number: int, wards: Wards, clock: Clock, rng: Generator) -> Stays:
    """`number` stays over the clock's span and the fortnight before it, so that the wards start full."""
    first, last = clock.span
    begin = rng.uniform(first - 24 * 14, last, number)
    length = 24 * np.minimum(MEDIAN_DAYS * np.exp(LOG_SD * rng.standard_normal(number)), LONGEST_DAYS)
    ward, hours = _path(number, length, wards, rng)
    bounds = begin[:, None] + np.concatenate([np.zeros((number, 1)), np.cumsum(hours, axis=1)], axis=1)
    age = np.clip(rng.normal(wards.middle_age[ward[:, 2]], 16), 18, 99).astype(np.int64)
    intensive = np.isin(ward[:, 1], wards.of_care("intensive")) & (hours[:, 1] > 0)
    onset, height, decay = _fevers(begin, length, intensive, rng)
    return Stays(
        patient=_patients(bounds[:, 0], bounds[:, 3], rng),
        age=age,
        bounds=bounds,
        ward=ward,
        level=rng.normal(0, PATIENT_SD, number) - OLD_LOWER * (age >= OLD_AGE),
        onset=onset,
        height=height,
        decay=decay,
        every=rng.choice([4.0, 6.0], number, p=[0.4, 0.6]),
        catheter=(intensive & (rng.random(number) < 0.6)).astype(np.int64),
    )


def _path(number: int, length: Floats, wards: Wards, rng: Generator) -> tuple[Ints, Floats]:
    """Wards and hours of the three places: emergency, then intensive care or a first ward, then the ward."""
    share = wards.share / wards.share.sum()
    home, second_ward = rng.choice(len(wards), number, p=share), rng.choice(len(wards), number, p=share)
    intensive = rng.random(number) < THROUGH_INTENSIVE
    moves = ~intensive & (rng.random(number) < CHANGES_WARD)
    middle = np.where(intensive, rng.choice(wards.of_care("intensive"), number), second_ward)
    door = np.where(rng.random(number) < THROUGH_EMERGENCY, rng.uniform(2, 9, number), 0.0)
    mid = np.where(intensive, rng.uniform(24, 144, number), length * rng.uniform(0.2, 0.8, number))
    hours = np.stack(
        [door, np.where(intensive | moves, mid, 0.0), np.maximum(length - mid * moves, 6)], axis=1
    )
    emergency = np.full(number, wards.of_care("emergency")[0])
    return np.stack([emergency, middle, home], axis=1).astype(np.int64), hours


def _patients(begin: Floats, end: Floats, rng: Generator) -> Ints:
    """A number for the patient of each stay: most new, some the patient of one other stay at another time."""
    stay_number = np.arange(len(begin))
    earlier = (rng.random(len(begin)) * stay_number).astype(np.int64)
    apart = (end[earlier] < begin) | (end < begin[earlier])
    once = np.zeros(len(begin), dtype=bool)
    once[np.unique(earlier, return_index=True)[1]] = True
    return np.where(apart & once & (rng.random(len(begin)) < RETURNS), earlier, stay_number)


def _fevers(begin: Floats, length: Floats, intensive: Flags, rng: Generator) -> tuple[Floats, Floats, Floats]:
    """Onsets early in the stay more than late, heights 0.5 to 3 °C, decays of 10 to 40 hours."""
    shape = (len(begin), SURGES)
    onset = begin[:, None] - 12 + (length[:, None] + 12) * rng.beta(1, 2, shape)
    share = np.where(intensive, FEVER_SHARE_INTENSIVE, FEVER_SHARE)[:, None]
    there = rng.random(shape) < share * np.array([1.0, 0.4])
    height = np.where(there, np.minimum(0.5 + rng.gamma(2.0, 0.6, shape), 3.5), 0.0)
    return onset, height, rng.uniform(10, 40, shape)
