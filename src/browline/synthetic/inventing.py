"""Inventing the hospital: the parts made one after the other, each from its own stream of chance.

A stream for each part keeps a change in one (say more cleanings) from reshuffling all the others.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from browline.readings import Readings
from browline.synthetic.arrays import Generator, Ints, Table
from browline.synthetic.charting import chart
from browline.synthetic.clean import clean_readings
from browline.synthetic.cleaning import make_checks, make_cleanings
from browline.synthetic.clock import Clock
from browline.synthetic.export import write_readings
from browline.synthetic.faults import Fault, default_faults
from browline.synthetic.fleet import make_fleet
from browline.synthetic.people import make_people
from browline.synthetic.reading import House, Latent
from browline.synthetic.registers import registers
from browline.synthetic.roster import make_roster
from browline.synthetic.rounds import make_rounds
from browline.synthetic.scale import Scale, Size, read_scale
from browline.synthetic.sites import patient_sites
from browline.synthetic.stays import Stays, make_stays
from browline.synthetic.taking import take_all
from browline.synthetic.training import make_training
from browline.synthetic.truth import build_truth
from browline.synthetic.wards import make_wards

NAME = "Quillmere Hospital (invented)"
ZONE = "Europe/London"
READINGS_PER_VISIT = 1.17
VISITS_PER_STAY = 24.0
STREAMS = (
    *("wards", "people", "training", "fleet", "cleanings", "checks", "roster", "stays", "sites"),
    *("rounds", "taking", "charting", "export", "switching", "overwriting", "keying"),
)
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Hospital:
    """What `invent` made.

    - `tables`: kind → canonical column → array of text, row by row as exported.
    - `truth`: everything planted, ready for JSON; no review may read it.
    - `latent`: every part of every reading, by stay and time. `row_reading`: for each row of the readings
      table the position of its reading in `latent`.
    - `house`, `stays`: what the readings were made from.
    """

    name: str
    zone: str
    tables: dict[str, Table]
    truth: dict[str, Any]
    latent: Latent
    row_reading: Ints
    house: House
    stays: Stays


def invent(
    size: Size, seed: int = 1, *, faults: Sequence[Fault] | None = None, progress: Progress | None = None
) -> Hospital:
    """An invented hospital of a size, the same to the bit for the same arguments.

    - `size`: ``"small"`` (about 60,000 readings), ``"full"`` (about 1,000,000), or a number of readings.
    - `faults`: planted on instruments; None plants the usual ones, ``()`` makes an honest fleet.
    - `progress`: called with what is being done and the share done, 0 to 1.

    Raises `NotUnderstood` for an unknown size or more faults than a fleet can hide.
    """
    report = progress or _silent
    scale = read_scale(size)
    rngs = _streams(seed)
    report("building the house", 0.0)
    house, stays = _build(scale, default_faults(scale) if faults is None else faults, rngs)
    report("taking temperatures", 0.2)
    visits = round(scale.readings / READINGS_PER_VISIT)
    rounds = make_rounds(stays, house.wards, house.clock, visits, rngs["rounds"])
    roster = make_roster(house.wards, house.people, house.fleet, house.clock, rngs["roster"])
    latent = take_all(stays, rounds, roster, house, rngs["taking"], rngs["switching"])
    report("charting", 0.6)
    cells = chart(latent, house, rngs["charting"], rngs["overwriting"])
    export = write_readings(latent, cells, stays, house, roster, rngs["export"], rngs["keying"])
    checks = make_checks(house.fleet, house.cleanings, house.clock, rngs["checks"])
    report("done", 1.0)
    return Hospital(
        name=NAME,
        zone=ZONE,
        tables={"readings": export.table, **registers(house, checks)},
        truth=build_truth(house, latent, cells, export, seed),
        latent=latent,
        row_reading=export.reading,
        house=house,
        stays=stays,
    )


def readings_of(hospital: Hospital) -> Readings:
    """The readings as the instruments showed them, in °C, without any fault of the chart."""
    return clean_readings(hospital.latent, hospital.stays, hospital.house)


def _streams(seed: int) -> dict[str, Generator]:
    """A generator for each part, all from one seed."""
    seeds = np.random.SeedSequence(seed).spawn(len(STREAMS))
    return {name: np.random.default_rng(s) for name, s in zip(STREAMS, seeds, strict=True)}


def _build(scale: Scale, faults: Sequence[Fault], rngs: dict[str, Generator]) -> tuple[House, Stays]:
    """Wards, people, training, instruments with their cleanings, and the stays to come."""
    clock = Clock(ZONE, scale.first_day, scale.days)
    wards = make_wards(scale, clock, rngs["wards"])
    people = make_people(scale, wards, rngs["people"])
    fleet = make_fleet(scale, wards, faults, rngs["fleet"])
    stays = make_stays(round(scale.readings / VISITS_PER_STAY), wards, clock, rngs["stays"])
    house = House(
        clock=clock,
        wards=wards,
        people=people,
        training=make_training(wards, people, clock, rngs["training"]),
        fleet=fleet,
        cleanings=make_cleanings(fleet, clock, rngs["cleanings"]),
        patient_site=patient_sites(len(stays), rngs["sites"]),
    )
    return house, stays


def _silent(message: str, proportion: float) -> None:
    """Progress that nobody watches."""
