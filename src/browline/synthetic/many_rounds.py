"""Who lies in which bed of many wards, and when each round comes to each of them.

Wards × rounds × beds as one grid of cells, walked bed after bed in every round; beds stand empty between two
stays, and some patients are passed over. Sizes are our assumptions.
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Flags, Floats, Generator, Ints

STAY_DAYS, STAY_LOG_SD, SHORTEST_DAYS, LONGEST_DAYS = 4.0, 0.3, 2.0, 9.0
EMPTY_HOURS = 6.0
MISSED = 0.05
HEAPED_ROUNDS = 0.25
SHIFT_HOURS, SHIFT_BEGINS = 12.0, 7.0
FIRST = 24.0 * 20_458
"""Midnight of 5 January 2026, hours since 1970; the wards keep UTC."""


@dataclass(frozen=True)
class Pattern:
    """How a kind of ward is run: hours between rounds, beds, minutes from patient to patient, jitter in hours."""

    every: tuple[float, ...]
    beds: int
    pace_minutes: float
    jitter: float


PATTERNS = {
    "ward": Pattern((4.0, 5.0, 6.0), 14, 2.5, 0.25),
    "intensive": Pattern((1.0,), 8, 0.8, 0.07),
}


@dataclass(frozen=True)
class Visits:
    """n visits, by ward and then in the order they were made.

    - `ward`, `stay`, `bed`: indices. `round_`: number of the round, over all wards. `shift`: over all wards.
    - `time`: hours since 1970, as it was. `charted`: at whole minutes, in some rounds at whole five minutes.
    - `begin`: per stay, its beginning. `rounds`, `shifts`: how many there are.
    """

    ward: Ints
    stay: Ints
    bed: Ints
    round_: Ints
    shift: Ints
    time: Floats
    charted: Floats
    begin: Floats
    rounds: int
    shifts: int

    def __len__(self) -> int:
        return len(self.ward)

    def stay_before(self) -> Ints:
        """Position of the same stay's visit before, -1 for its first."""
        order = np.argsort(self.stay, kind="stable")
        before = np.full(len(self), -1)
        same = np.diff(self.stay[order]) == 0
        before[order[1:][same]] = order[:-1][same]
        return before

    def round_before(self) -> Ints:
        """Position of the patient before in the same round, -1 for the first."""
        return np.where(np.diff(self.round_, prepend=-1) == 0, np.arange(len(self)) - 1, -1)


def make_visits(wards: int, readings: int, care: str, rng: Generator) -> Visits:
    """Exactly `readings` visits on each of `wards` wards, as many rounds as that takes."""
    pattern = PATTERNS[care]
    rounds = int(np.ceil((readings + 4.0 * np.sqrt(readings)) / (0.85 * pattern.beds))) + 2
    while True:
        visited, stay, begin, time = _grid(wards, rounds, pattern, rng)
        visited &= np.cumsum(visited.reshape(wards, -1), axis=1).reshape(visited.shape) <= readings
        if int(visited.sum()) == wards * readings:
            return _visits(visited, stay, begin, time, rng)
        rounds = round(1.2 * rounds) + 1


def _grid(wards: int, rounds: int, pattern: Pattern, rng: Generator) -> tuple[Flags, Ints, Floats, Floats]:
    """Wards × rounds × beds: whether there is a visit, its stay and time; and the beginning of every stay."""
    shape = (wards, rounds, pattern.beds)
    every = rng.choice(pattern.every, wards)[:, None]
    starts = FIRST + 2.0 % every + every * np.arange(rounds) + rng.normal(0, pattern.jitter, shape[:2])
    pace = pattern.pace_minutes / 60.0 * rng.gamma(4.0, 0.25, shape)
    time = starts[:, :, None] + np.cumsum(pace, axis=2)
    begin = _beginnings(wards * pattern.beds, float(time.max()) - FIRST, rng)
    bed = np.arange(wards * pattern.beds).reshape(wards, 1, pattern.beds)
    # All beds' stays in one sorted line: each bed's times are moved beyond those of the bed before it.
    apart = float(begin.max() - begin.min()) + 24.0
    line = (begin + apart * np.arange(len(begin))[:, None]).ravel()
    stay = np.searchsorted(line, time + apart * bed, side="right") - 1
    empty = rng.exponential(EMPTY_HOURS, begin.size)
    flat = begin.ravel()
    visited = (time >= flat[stay] + empty[stay]) & (rng.random(shape) >= MISSED)
    return visited, stay, flat, time


def _beginnings(beds: int, hours: float, rng: Generator) -> Floats:
    """Beginnings of the stays in each bed, beds × stays, from before the first round to after the last."""
    number = int(np.ceil(hours / (24.0 * SHORTEST_DAYS))) + 2
    days = STAY_DAYS * np.exp(STAY_LOG_SD * rng.standard_normal((beds, number)))
    length = 24.0 * np.clip(days, SHORTEST_DAYS, LONGEST_DAYS)
    ends = np.cumsum(length, axis=1)
    out: Floats = FIRST - 24.0 + ends - length - length[:, :1] * rng.random((beds, 1))
    return out


def _visits(visited: Flags, stay: Ints, begin: Floats, time: Floats, rng: Generator) -> Visits:
    wards, rounds = visited.shape[:2]
    ward, round_, bed = np.nonzero(visited)
    taken = time[visited]
    known, stay_number = np.unique(stay[visited], return_inverse=True)
    shift = np.floor((taken - FIRST - SHIFT_BEGINS) / SHIFT_HOURS).astype(np.int64) + 1
    shifts = int(shift.max()) + 1
    whole = ward * rounds + round_
    minutes = np.where((rng.random(wards * rounds) < HEAPED_ROUNDS)[whole], 5.0, 1.0)
    return Visits(
        ward=ward,
        stay=stay_number,
        bed=bed,
        round_=whole,
        shift=ward * shifts + shift,
        time=taken,
        charted=np.floor(taken * 60.0 / minutes) * minutes / 60.0,
        begin=begin[known],
        rounds=wards * rounds,
        shifts=wards * shifts,
    )
