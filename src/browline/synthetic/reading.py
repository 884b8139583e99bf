"""One reading: what the instrument would show, and every part that it is made of.

The parts are kept beside the sum so that tests can ask whether an answer is right. They never leave the room
in a table.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np

from browline.synthetic import sites
from browline.synthetic.arrays import Flags, Floats, Generator, Ints
from browline.synthetic.cleaning import Cleanings, lens_fall, step_reached
from browline.synthetic.clock import Clock
from browline.synthetic.fleet import Fleet
from browline.synthetic.people import BEFORE_SIGN_OFF, KEPT_AFTER_SIGN_OFF, People
from browline.synthetic.training import Training
from browline.synthetic.wards import COLD_EXCESS, COLD_MONTHS, Wards

COOLED = -0.15
COOLED_WITHIN_HOURS = 1.5 / 60


@dataclass(frozen=True)
class House:
    """Everything that stands still while readings are taken."""

    clock: Clock
    wards: Wards
    people: People
    training: Training
    fleet: Fleet
    cleanings: Cleanings
    patient_site: Floats


@dataclass(frozen=True)
class Act:
    """n acts of measuring: who was read by whom, where, when, with what, and how warm they were.

    `core`: °C. `since_last`: hours since the same skin was read, large for a first reading.
    """

    stay: Ints
    ward: Ints
    person: Ints
    instrument: Ints
    site: Ints
    time: Floats
    core: Floats
    since_last: Floats


@dataclass(frozen=True)
class Latent:
    """n readings as they were truly made; float64[n] in °C unless said otherwise.

    - `stay`, `ward`, `person`, `instrument`, `site`: indices. `time`: instants. `retake_of`: the reading it
      repeats, -1 for a first one.
    - `core`: the patient. `at_site`: with the site's own offset, slope and patient × site constant.
    - `instrument_part`, `lens_part`, `person_part`, `ward_part`, `cooled_part`, `error`: the rest of the sum.
    - `measured`: the sum, unrounded.
    """

    stay: Ints
    ward: Ints
    person: Ints
    instrument: Ints
    site: Ints
    time: Floats
    retake_of: Ints
    core: Floats
    at_site: Floats
    instrument_part: Floats
    lens_part: Floats
    person_part: Floats
    ward_part: Floats
    cooled_part: Floats
    error: Floats
    measured: Floats

    def __len__(self) -> int:
        return len(self.measured)

    def take(self, which: Ints) -> "Latent":
        """The readings at these positions; `retake_of` then counts in the new positions."""
        new = np.full(len(self) + 1, -1)
        new[which] = np.arange(len(which))
        columns = {f.name: getattr(self, f.name)[which] for f in fields(self)}
        return Latent(**{**columns, "retake_of": new[columns["retake_of"]]})


def measure(act: Act, house: House, retake_of: Ints, rng: Generator) -> Latent:
    """Read every act: the parts and their sum."""
    parts: dict[str, Floats] = {
        "at_site": _site_temperature(act, house),
        **_instrument_parts(act, house),
        "person_part": _person_part(act, house, rng),
        "ward_part": _ward_part(act, house),
        "cooled_part": np.where(_cooled(act), COOLED, 0.0),
        "error": sites.errors(act.site, rng)[0],
    }
    return Latent(
        stay=act.stay,
        ward=act.ward,
        person=act.person,
        instrument=act.instrument,
        site=act.site,
        time=act.time,
        retake_of=retake_of,
        core=act.core,
        measured=np.sum(list(parts.values()), axis=0),
        **parts,
    )


def _cooled(act: Act) -> Flags:
    """Scans of skin that the probe has just cooled."""
    out: Flags = sites.SCANNED[act.site] & (act.since_last < COOLED_WITHIN_HOURS)
    return out


def _site_temperature(act: Act, house: House) -> Floats:
    """``37 + alpha_s + lambda_s (C - 37) + v_{stay,s}``."""
    patient_constant = house.patient_site[act.stay, act.site]
    out: Floats = 37.0 + sites.ALPHA[act.site] + sites.LAMBDA[act.site] * (act.core - 37.0) + patient_constant
    return out


def _instrument_parts(act: Act, house: House) -> Mapping[str, Floats]:
    """The constant with any step, and the fall since the lens was cleaned."""
    fleet, d = house.fleet, act.instrument
    stepped = fleet.step[d] * step_reached(fleet, d, act.time, house.clock)
    lens = np.zeros(len(d))
    falls: Flags = fleet.lens[d] != 0
    days = house.cleanings.days_since(d[falls], act.time[falls])
    lens[falls] = lens_fall(fleet, d[falls], days)
    return {"instrument_part": fleet.offset[d] + stepped, "lens_part": lens}


def _person_part(act: Act, house: House, rng: Generator) -> Floats:
    """Technique acts on scans only: level, extra width, and the gain at sign-off."""
    people, o = house.people, act.person
    after = act.time >= house.training.signed_off[o]
    remaining = np.where(after & people.planted[o], KEPT_AFTER_SIGN_OFF, 1.0)
    level = remaining * people.technique[o] + np.where(after, 0.0, BEFORE_SIGN_OFF)
    wide = remaining * people.wide[o] * rng.standard_normal(len(o))
    return (level + wide) * sites.SCANNED[act.site]


def _ward_part(act: Act, house: House) -> Floats:
    """Constant, month by month, and the cold months of the one ward (forehead only)."""
    wards, w = house.wards, act.ward
    month = house.clock.month(act.time)
    cold = (w == wards.cold) & np.isin(month % 12 + 1, COLD_MONTHS) & (act.site == sites.TEMPORAL)
    out: Floats = wards.offset[w] + wards.monthly[w, month - wards.first_month] + COLD_EXCESS * cold
    return out
