"""The roster: which people and which instruments are in whose hands, on every ward and shift.

Shifts run 07 to 19 and 19 to 07. A ward's team is drawn from its own staff who work that half of the day,
with some float; each nurse carries one scanner through the shift, mostly one of the ward. That mixing is what
lets people, wards and instruments be told apart; how much there is of it is our assumption.
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Floats, Generator, Ints
from browline.synthetic.clock import Clock
from browline.synthetic.fleet import KINDS, Fleet
from browline.synthetic.people import DAYS, NIGHTS, People
from browline.synthetic.wards import Wards

FIRST_HOUR, SHIFT_HOURS = 7.0, 12.0
TEAM_SHARE, SMALLEST_TEAM = 0.15, 3
FLOATS = 0.10
NEAR, ANYWHERE = 2.2, 0.002


@dataclass(frozen=True)
class Roster:
    """`team`: person, wards × shifts × places. `hand[kind]`: instrument, wards × shifts × places."""

    clock: Clock
    team: Ints
    hand: tuple[Ints, ...]

    @property
    def places(self) -> int:
        """How many people are on a ward's shift."""
        return int(self.team.shape[2])

    def shift(self, time: Floats) -> Ints:
        """Number of the shift that an instant falls into; shift 0 is the night before the first day."""
        hours = self.clock.wall(time) - self.clock.origin - FIRST_HOUR
        return np.floor(hours / SHIFT_HOURS).astype(np.int64) + 1

    def hours_remaining(self, time: Floats) -> Floats:
        """Hours left of the shift that an instant falls into."""
        return SHIFT_HOURS - (self.clock.wall(time) - FIRST_HOUR) % SHIFT_HOURS


def make_roster(wards: Wards, people: People, fleet: Fleet, clock: Clock, rng: Generator) -> Roster:
    """The roster of the whole export."""
    shifts = 2 * clock.days + 2
    staff = len(people) - 1
    places = max(SMALLEST_TEAM, round(TEAM_SHARE * staff / len(wards)))
    team = _teams(wards, people, shifts, places, rng)
    share = np.maximum(np.arange(shifts) - 1, 0) / (2 * clock.days)
    hand = tuple(_hands(wards, fleet, k, share, places, rng) for k in range(len(KINDS)))
    return Roster(clock, team, hand)


def _teams(wards: Wards, people: People, shifts: int, places: int, rng: Generator) -> Ints:
    """For each ward and shift the people with the best lots among those who may work it, then floats."""
    team = np.empty((len(wards), shifts, places), dtype=np.int64)
    day = np.arange(shifts) % 2 == 1
    for w in range(len(wards)):
        staff = np.flatnonzero(people.ward[:-1] == w)
        off_pattern = np.where(day[:, None], people.pattern[staff] == NIGHTS, people.pattern[staff] == DAYS)
        lots = rng.random((shifts, len(staff))) + 2.0 * off_pattern
        team[w] = staff[np.argsort(lots, axis=1)[:, np.arange(places) % len(staff)]]
    floats = rng.random(team.shape) < FLOATS
    team[floats] = rng.integers(len(people) - 1, size=int(floats.sum()))
    return team


def _hands(wards: Wards, fleet: Fleet, kind: int, share: Floats, places: int, rng: Generator) -> Ints:
    """Instruments in hand: drawn with chances ``weight exp(-near * distance)`` by exponential races.

    The distance is between ward numbers around the house. An instrument is there once it is delivered.
    """
    instruments = fleet.of_kind(kind)
    hand = np.empty((len(wards), len(share), places), dtype=np.int64)
    there = share[:, None] >= fleet.delivered[instruments]
    for w in range(len(wards)):
        gap = np.abs(fleet.ward[instruments] - w)
        weight = fleet.weight[instruments] * (np.exp(-NEAR * np.minimum(gap, len(wards) - gap)) + ANYWHERE)
        race = rng.standard_exponential((len(share), places, len(instruments)), dtype=np.float32) / weight
        race[np.broadcast_to(~there[:, None, :], race.shape)] = np.inf
        hand[w] = instruments[np.argmin(race, axis=2)]
    return hand
