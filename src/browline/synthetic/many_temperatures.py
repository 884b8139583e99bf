"""What the instruments of many wards measured: patients, sites, instruments, nurses and wards added up.

    measured = site(base + level + rhythm + course + fever) + instrument + person + ward + error

Every ward draws its own spreads from the stated ranges, so that no two wards are quite alike. Ranges are our
assumptions.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np

from browline.synthetic import sites
from browline.synthetic.arrays import Floats, Generator, Ints
from browline.synthetic.course import BASE, OLD_AGE, OLD_LOWER, ornstein_uhlenbeck, rhythm, surge
from browline.synthetic.many_rounds import PATTERNS, Visits

Care = Literal["ward", "intensive"]

MIX: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "ward": MappingProxyType(dict(zip(sites.NAMES, sites.MIX.tolist(), strict=True))),
        "intensive": MappingProxyType({"bladder": 1.0}),
    }
)
FEBRILE = {"ward": (0.06, 0.08), "intensive": (0.15, 0.25)}
PATIENT_SDS, COURSE_SDS, COURSE_TAUS = (0.25, 0.28), (0.25, 0.35), (12.0, 24.0)
AGE_MEAN, AGE_SD = 62.0, 16.0
INSTRUMENT_SD, PERSON_SD, WARD_SD = 0.08, 0.05, 0.04
KINDS_OWNED = (6, 2, 2)
"""Scanners, ear and contact thermometers of a ward; every bed has its own probe besides."""
OTHER_INSTRUMENT = 0.2
NURSES = 10


@dataclass(frozen=True)
class Taken:
    """n measurements, in the order of the visits.

    - `site`, `instrument`, `person`: indices; instruments and people are numbered over all wards, each ward
      has as many as the others. `age`: years. `measured`: °C, unrounded.
    """

    site: Ints
    instrument: Ints
    person: Ints
    age: Ints
    measured: Floats


def instruments_per_ward(care: Care) -> int:
    """How many instruments a ward has."""
    return sum(KINDS_OWNED) + PATTERNS[care].beds


def take_temperatures(
    visits: Visits, wards: int, care: Care, mix: Mapping[str, float], rng: Generator
) -> Taken:
    """Measure at every visit; `mix`: site → share of the readings."""
    site = _sites(visits, mix, rng)
    instrument = _instruments(visits, site, care, rng)
    person = rng.integers(NURSES, size=visits.shifts)[visits.shift] + NURSES * visits.ward
    age = np.clip(rng.normal(AGE_MEAN, AGE_SD, len(visits.begin)), 18, 99).astype(np.int64)
    measured = (
        _site_temperature(_core(visits, age, FEBRILE[care], wards, rng), visits.stay, site, rng)
        + rng.normal(0, INSTRUMENT_SD, wards * instruments_per_ward(care))[instrument]
        + rng.normal(0, PERSON_SD, wards * NURSES)[person] * sites.SCANNED[site]
        + rng.normal(0, WARD_SD, wards)[visits.ward]
        + sites.errors(site, rng)[0]
    )
    return Taken(site=site, instrument=instrument, person=person, age=age[visits.stay], measured=measured)


def _sites(visits: Visits, mix: Mapping[str, float], rng: Generator) -> Ints:
    shares = np.array([mix.get(name, 0.0) for name in sites.NAMES])
    shares /= shares.sum()
    return sites.sites_used(sites.usual_sites(len(visits.begin), rng, shares)[visits.stay], rng, shares)


def _instruments(visits: Visits, site: Ints, care: Care, rng: Generator) -> Ints:
    """One of the ward's own kind for the site: the round's, now and then another; the bed's own probe."""
    owned = np.array([*KINDS_OWNED, PATTERNS[care].beds])
    kind = sites.INSTRUMENT_KIND[site]
    in_hand = rng.random(visits.rounds)[visits.round_]
    pick = np.where(rng.random(len(visits)) < OTHER_INSTRUMENT, rng.random(len(visits)), in_hand)
    which = np.floor(pick * owned[kind]).astype(np.int64)
    which = np.where(kind == len(KINDS_OWNED), visits.bed, which)
    out: Ints = visits.ward * owned.sum() + (np.cumsum(owned) - owned)[kind] + which
    return out


def _core(visits: Visits, age: Ints, febrile: tuple[float, float], wards: int, rng: Generator) -> Floats:
    """°C: level, daily rhythm, course, and one fever in the febrile share of the stays."""
    stays = len(visits.begin)
    ward = np.zeros(stays, dtype=np.int64)
    ward[visits.stay] = visits.ward
    level = rng.uniform(*PATIENT_SDS, wards)[ward] * rng.standard_normal(stays) - OLD_LOWER * (age >= OLD_AGE)
    height = 0.5 + rng.gamma(2.0, 0.6, stays)
    height *= rng.random(stays) < rng.uniform(*febrile, wards)[ward]
    since = visits.time - (visits.begin - 12.0 + 96.0 * rng.beta(1, 2, stays))[visits.stay]
    fever = surge(since, height[visits.stay], rng.uniform(10, 40, stays)[visits.stay])
    course = _course(visits, rng.uniform(*COURSE_SDS, wards)[ward], rng.uniform(*COURSE_TAUS, stays), rng)
    return BASE + level[visits.stay] + rhythm(visits.time % 24.0) + course + fever


def _course(visits: Visits, sd: Floats, hours: Floats, rng: Generator) -> Floats:
    """The Ornstein–Uhlenbeck course at every visit, with each stay's own `sd` and `hours`."""
    order = np.argsort(visits.stay, kind="stable")
    stay, count = visits.stay[order], np.bincount(visits.stay)
    first = np.cumsum(count) - count
    out = np.empty(len(visits))
    out[order] = ornstein_uhlenbeck(visits.time[order], first, count, rng, sd=sd[stay], hours=hours[stay])
    return out


def _site_temperature(core: Floats, stay: Ints, site: Ints, rng: Generator) -> Floats:
    patient_constant = sites.patient_sites(int(stay.max()) + 1, rng)[stay, site]
    out: Floats = 37.0 + sites.ALPHA[site] + sites.LAMBDA[site] * (core - 37.0) + patient_constant
    return out
