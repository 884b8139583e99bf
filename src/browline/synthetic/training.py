"""Training: ward by ward over the middle of the export, on dated visits; who came and who was signed off.

Each ward has visits over four weeks, one in eight of them at night. Permanent nights come far less often:
3 % of attenders in one published project were nights (practice, finding 8). The chances are our assumptions.
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Floats, Generator, Ints, Texts, texts
from browline.synthetic.clock import Clock
from browline.synthetic.people import NIGHTS, People
from browline.synthetic.wards import Wards

BEGINS, ENDS = 0.30, 0.75
VISITS, VISIT_DAYS = 8, 28
COMES_BY_DAY, COMES_BY_NIGHT_SHIFT = 0.28, 0.05
OUTCOMES = texts(("attended", "signed-off", "not-yet"))
OUTCOME_SHARES = (0.25, 0.65, 0.10)
SIGNED_OFF = 1


@dataclass(frozen=True)
class Training:
    """`starts`: instant of each ward's first visit, w. `signed_off`: instant for each person, +inf if never.

    The attendances: `person`, `ward`, `outcome` (index into `OUTCOMES`), `time`, one row each, by time.
    """

    starts: Floats
    signed_off: Floats
    person: Ints
    ward: Ints
    outcome: Ints
    time: Floats

    def words(self) -> Texts:
        """The outcome of each attendance as a word."""
        out: Texts = OUTCOMES[self.outcome]
        return out


def make_training(wards: Wards, people: People, clock: Clock, rng: Generator) -> Training:
    """Visits in random ward order; each person of the ward may come to each visit until signed off."""
    starts = np.empty(len(wards))
    starts[rng.permutation(len(wards))] = clock.moment(BEGINS) + (
        clock.moment(ENDS) - clock.moment(BEGINS)
    ) * (np.arange(len(wards)) / len(wards))
    visits = _visits(starts, clock, rng)
    chance = np.where(people.pattern == NIGHTS, COMES_BY_NIGHT_SHIFT, COMES_BY_DAY)
    chance[people.educator] = 0.0
    comes = rng.random((len(people), VISITS)) < chance[:, None]
    outcome = rng.choice(3, (len(people), VISITS), p=OUTCOME_SHARES)
    passed = comes & (outcome == SIGNED_OFF)
    comes &= np.cumsum(passed, axis=1) - passed == 0
    person, visit = np.nonzero(comes)
    time = visits[people.ward[person], visit]
    signed_off = np.full(len(people), np.inf)
    last = outcome[person, visit] == SIGNED_OFF
    signed_off[person[last]] = time[last]
    order = np.argsort(time, kind="stable")
    return Training(
        starts=visits[:, 0],
        signed_off=signed_off,
        person=person[order],
        ward=people.ward[person][order],
        outcome=outcome[person, visit][order],
        time=time[order],
    )


def _visits(starts: Floats, clock: Clock, rng: Generator) -> Floats:
    """Instants of the visits, wards × VISITS, ascending: between 10 and 15, the last but one at night."""
    shape = (len(starts), VISITS)
    day = np.floor(clock.wall(starts) / 24.0)[:, None] + np.linspace(0, VISIT_DAYS, VISITS).astype(np.int64)
    hour = np.floor(rng.uniform(10, 15, shape) * 4) / 4
    hour[:, VISITS - 2] = 23.5
    return clock.instant(day * 24.0 + hour)
