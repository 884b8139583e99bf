"""Rounds: when each patient is due, by the ward's wall clock, with jitter and missed rounds.

Due every 1.5 h in the emergency department, 3 h in intensive care, 4 or 6 h on a ward; readings of one stay
in different rounds lie at least 35 minutes apart, so a closer pair at one site is a retake. Our assumptions.
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Floats, Generator, Ints
from browline.synthetic.clock import Clock
from browline.synthetic.course import BASE, ornstein_uhlenbeck, rhythm, surge
from browline.synthetic.stays import PLACES, SURGES, Stays
from browline.synthetic.wards import Wards

EVERY = {"emergency": 1.5, "intensive": 3.0}
JITTER_HOURS = 0.35
MISSED = 0.05
CLOSEST_HOURS = 35 / 60


@dataclass(frozen=True)
class Rounds:
    """r visits to a bedside, by stay and then by time.

    - `stay`, `ward`: indices. `time`, `again`: instants of the visit and of a retake, should there be one.
    - `core`, `core_again`: °C, the patient's temperature at both.
    """

    stay: Ints
    ward: Ints
    time: Floats
    again: Floats
    core: Floats
    core_again: Floats


def make_rounds(stays: Stays, wards: Wards, clock: Clock, most: int, rng: Generator) -> Rounds:
    """Visits to the first stays that together make at most `most` of them."""
    stay, place, begin, end, every = _segments(stays, wards)
    slots = np.ceil((end - begin) / every).astype(np.int64) + 1
    seg = np.repeat(np.arange(len(stay)), slots)
    slot = np.arange(len(seg)) - np.repeat(np.cumsum(slots) - slots, slots)
    wall_begin = clock.wall(begin)
    due = (np.floor(wall_begin / every)[seg] + slot) * every[seg] + 2.0 % every[seg]
    wall = np.where(slot == 0, wall_begin[seg] + 0.1 + rng.exponential(0.4, len(seg)), due)
    time = clock.instant(wall + np.where(slot == 0, 0.0, rng.normal(0, JITTER_HOURS, len(seg))))
    time = np.floor(time * 60.0) / 60.0
    first, last = clock.span
    due_visits = (time >= begin[seg]) & (time < end[seg]) & (time >= first) & (time < last - 1)
    due_visits &= (slot == 0) | (rng.random(len(seg)) >= MISSED)
    who, ward, when = stay[seg][due_visits], stays.ward[stay, place][seg][due_visits], time[due_visits]
    order = np.lexsort((when, who))
    who, ward, when = who[order], ward[order], when[order]
    apart = _apart(who, when)
    who, ward, when = who[apart][:most], ward[apart][:most], when[apart][:most]
    return _with_course(stays, who, ward, when, clock, rng)


def _segments(stays: Stays, wards: Wards) -> tuple[Ints, Ints, Floats, Floats, Floats]:
    """Stay, place, begin, end and hours between rounds of every part of a stay with any length."""
    begin, end = stays.bounds[:, :PLACES], stays.bounds[:, 1:]
    stay, place = np.nonzero(end > begin)
    care = wards.care[stays.ward[stay, place]]
    every = stays.every[stay].copy()
    for kind, hours in EVERY.items():
        every[care == kind] = hours
    return stay, place, begin[stay, place], end[stay, place], every


def _apart(stay: Ints, time: Floats) -> Ints:
    """Positions left when visits too soon after the one before in the same stay are dropped."""
    soon = (np.diff(stay, prepend=-1) == 0) & (np.diff(time, prepend=0.0) < CLOSEST_HOURS)
    return np.flatnonzero(~soon)


def _with_course(stays: Stays, stay: Ints, ward: Ints, time: Floats, clock: Clock, rng: Generator) -> Rounds:
    """The patient's temperature at each visit and a few minutes later, in one walk along the stay."""
    wait = np.floor(np.clip(rng.lognormal(np.log(6.0), 0.8, len(time)), 0.0, 29.0)) / 60.0
    both = np.stack([time, time + wait], axis=1).ravel()
    whose = np.repeat(stay, 2)
    first = np.flatnonzero(np.diff(whose, prepend=-1) != 0)
    count = np.diff(np.append(first, len(whose)))
    core = BASE + stays.level[whose] + rhythm(clock.hour(both)) + ornstein_uhlenbeck(both, first, count, rng)
    for k in range(SURGES):
        core += surge(both - stays.onset[whose, k], stays.height[whose, k], stays.decay[whose, k])
    return Rounds(stay=stay, ward=ward, time=time, again=both[1::2], core=core[0::2], core_again=core[1::2])
