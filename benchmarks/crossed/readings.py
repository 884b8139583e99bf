"""Invented charted readings for the benchmark: which stay, instrument, person and ward, when, and what was read.

    y = site + rhythm + stay + instrument + person + ward + eps                                    (`ordinary`)
    the same, and an Ornstein-Uhlenbeck course, patient x site, error by site, drift since cleaning     (`full`)

n readings in n / 8 stays over two years; 200 instruments, 1,500 people, 30 wards unless asked; instruments and
people keep to their ward in nine readings of ten. Rounds come about every four hours, and one reading in ten
follows another within half an hour. Values are °C from 37 and not rounded, so that both models are true as fitted.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Columns = dict[str, NDArray[np.generic]]
PER_STAY, AWAY, RETAKEN, ROUND_HOURS, DAYS = 8, 0.1, 0.1, 4.0, 730
SITES, SITE_SHARES = np.array([0.0, 0.2, -0.3, 0.4]), (0.6, 0.2, 0.1, 0.1)
INTENSIVE, SEED = 0.2, 1


@dataclass(frozen=True)
class Spreads:
    """Sds in °C: `stay` and `course` by care group (ward, intensive), `reading` by site; `hours` the course's tau."""

    stay: tuple[float, float] = (0.45, 0.45)
    course: tuple[float, float] = (0.0, 0.0)
    hours: float = 10.0
    at_site: float = 0.0
    reading: tuple[float, float, float, float] = (0.25, 0.25, 0.25, 0.25)
    instrument: float = 0.12
    person: float = 0.08
    ward: float = 0.06
    drift: float = 0.0
    own_drift: float = 0.0


@dataclass(frozen=True)
class Fleet:
    """How many instruments, people and wards there are."""

    instruments: int = 200
    people: int = 1500
    wards: int = 30


FLEET, ORDINARY = Fleet(), Spreads()
FULL = Spreads(
    (0.35, 0.45), (0.30, 0.50), 10.0, 0.15, (0.28, 0.18, 0.25, 0.12), drift=-0.002, own_drift=0.002
)


def ordinary(n: int, fleet: Fleet = FLEET) -> Columns:
    """n readings of the ordinary crossed model."""
    return readings(n, fleet, ORDINARY, np.random.default_rng(SEED))


def full(n: int, fleet: Fleet = FLEET) -> Columns:
    """n readings of the full model."""
    return readings(n, fleet, FULL, np.random.default_rng(SEED))


def readings(n: int, fleet: Fleet, spreads: Spreads, rng: Generator) -> Columns:
    """Where and when n readings were taken, and what they say, in the order of stay and time."""
    c = placed(n, fleet, rng)
    return c | {"value": values(c, fleet, spreads, rng)}


def placed(n: int, fleet: Fleet, rng: Generator) -> Columns:
    """Codes, hours since the first day, hour angle's waves, and days since the lens was cleaned."""
    stays = n // PER_STAY
    stay = np.sort(rng.integers(0, stays, n)).astype(np.int32)
    hour = rng.uniform(0, DAYS * 24.0, stays)[stay] + hours_into_stay(stay, rng)
    angle = 2 * np.pi * hour / 24
    ward = rng.integers(0, fleet.wards, stays).astype(np.int32)[stay]
    place = np.where(rng.random(n) < AWAY, rng.integers(0, fleet.wards, n), ward)
    instrument, person = (at_home(place, k, fleet.wards, rng) for k in (fleet.instruments, fleet.people))
    return {
        "stay": stay, "ward": ward, "instrument": instrument, "person": person,
        "group": (rng.random(stays) < INTENSIVE).astype(np.int32)[stay],
        "site": rng.choice(4, n, p=SITE_SHARES).astype(np.int32),
        "hour": hour, "cleaned": days_since_cleaning(instrument, hour, fleet, rng),
        "c1": np.cos(angle), "s1": np.sin(angle), "c2": np.cos(2 * angle), "s2": np.sin(2 * angle),
    }  # fmt: skip


def at_home(place: NDArray[np.integer], count: int, wards: int, rng: Generator) -> NDArray[np.int32]:
    """One of the `count` whose home is each reading's place: number k lives at ward ``k mod wards``."""
    living = (count - place + wards - 1) // wards
    return (place + wards * rng.integers(0, living)).astype(np.int32)


def hours_into_stay(stay: NDArray[np.int32], rng: Generator) -> NDArray[np.float64]:
    """Hours since each stay's first reading: a round of about four hours apart, or a retake within half an hour."""
    n = len(stay)
    gap = np.where(rng.random(n) < RETAKEN, rng.uniform(0.01, 0.5, n), rng.gamma(4.0, ROUND_HOURS / 4, n))
    total = np.cumsum(gap)
    begins = np.flatnonzero(np.diff(stay, prepend=-1))
    return np.asarray(total - np.repeat(total[begins], np.diff(np.append(begins, n))))


def days_since_cleaning(
    instrument: NDArray[np.int32], hour: NDArray[np.float64], fleet: Fleet, rng: Generator
) -> NDArray[np.float64]:
    """Each instrument is cleaned at its own interval of 20 to 60 days, from a day of its own on."""
    every, first = rng.uniform(20, 60, fleet.instruments), rng.uniform(0, 60, fleet.instruments)
    return np.asarray((hour / 24 + first[instrument]) % every[instrument])


def values(c: Mapping[str, NDArray], fleet: Fleet, spreads: Spreads, rng: Generator) -> NDArray[np.float64]:
    """°C from 37."""
    n, stays = len(c["stay"]), int(c["stay"][-1]) + 1
    stay, site, instrument = c["stay"], c["site"], c["instrument"]
    value = SITES[site] + 0.25 * c["c1"] + rng.normal(0, 1, stays)[stay] * np.array(spreads.stay)[c["group"]]
    value += rng.normal(0, spreads.instrument, fleet.instruments)[instrument]
    value += rng.normal(0, spreads.person, fleet.people)[c["person"]]
    value += rng.normal(0, spreads.ward, fleet.wards)[c["ward"]]
    value += rng.normal(0, 1, n) * np.array(spreads.reading)[site]
    if any(spreads.course):
        path = course(stay, c["hour"], spreads.hours, rng.normal(0, 1, n))
        value += path * np.array(spreads.course)[c["group"]]
    if spreads.at_site:
        value += rng.normal(0, spreads.at_site, (stays, len(SITES)))[stay, site]
    if spreads.own_drift:
        value += rng.normal(spreads.drift, spreads.own_drift, fleet.instruments)[instrument] * c["cleaned"]
    return np.asarray(value)


def course(
    stay: NDArray[np.int32], hour: NDArray[np.float64], hours: float, noise: NDArray[np.float64]
) -> NDArray[np.float64]:
    """An Ornstein-Uhlenbeck path of sd 1 through every stay, from standard normal `noise` float64[n].

    All stays take their second step at once, then their third, and so on.
    """
    path, begins = noise.copy(), np.flatnonzero(np.diff(stay, prepend=-1))
    position = np.arange(len(stay)) - np.repeat(begins, np.diff(np.append(begins, len(stay))))
    for k in range(1, int(position.max()) + 1):
        at = np.flatnonzero(position == k)
        left = np.exp(-(hour[at] - hour[at - 1]) / hours)
        path[at] = left * path[at - 1] + np.sqrt(1.0 - left**2) * noise[at]
    return path


def keep(columns: Columns, folder: Path) -> None:
    """Each column as a plain binary file, `name.f8` or `name.i4`, which NumPy and R both read at once."""
    for name, column in columns.items():
        width = "f8" if column.dtype.kind == "f" else "i4"
        column.astype("<" + width).tofile(folder / f"{name}.{width}")


def kept(folder: Path) -> Columns:
    """The columns of a folder."""
    return {path.stem: np.fromfile(path, "<" + path.suffix[1:]) for path in sorted(folder.iterdir())}
