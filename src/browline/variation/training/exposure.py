"""Who had been signed off when they charted, where and since when, and with whom they can be compared.

A reading is *trained* where its site is one the scan acts on and its person was signed off before it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.variation.arrays import Codes, Floats

Bools = NDArray[np.bool_]
ENOUGH_READINGS = 20
"""Readings of each kind below which a month is no comparison (common practice, no source)."""


@dataclass(frozen=True)
class Exposure:
    """Of n readings: `trained` bool[n]; `untold` bool[n], at a site the scan acts on by somebody not named."""

    trained: Bools
    untold: Bools


def exposure(person: Codes, time: Floats, acted_on: Bools, signed_off: Floats) -> Exposure:
    """Which readings came after their person's sign-off.

    - `person` int64[n], -1 not named; `time` float64[n], hours; `acted_on` bool[n], a site the scan acts on.
    - `signed_off` float64[people], hours on the same clock, inf where never.

    >>> e = exposure(np.array([0, 0, 1, -1]), np.array([1.0, 9, 9, 9]), np.ones(4, bool), np.array([5.0, np.inf]))
    >>> e.trained.tolist(), e.untold.tolist()
    ([False, True, False, False], [False, False, False, True])
    """
    when = np.append(signed_off, np.inf)[person]
    return Exposure(acted_on & (time > when), acted_on & (person < 0))


def home_wards(person: Codes, ward: Codes, people: int, wards: int) -> Codes:
    """int64[people]: the ward in which each person charts most, -1 for nobody's.

    >>> home_wards(np.array([0, 0, 0, 1]), np.array([1, 1, 0, -1]), 2, 2).tolist()
    [1, -1]
    """
    charted = (person >= 0) & (ward >= 0)
    counts = np.bincount(person[charted] * wards + ward[charted], minlength=people * wards).reshape(
        people, wards
    )
    return np.where(counts.any(1), counts.argmax(1), -1).astype(np.int64)


def starts(signed_off: Floats, home: Codes, wards: int, sessions: Floats | None = None) -> Floats:
    """float64[wards]: the hour each ward's roll-out began, its first sign-off or first session; inf where never.

    `sessions` float64[wards]: each ward's first session, inf or NaN where none is known.

    >>> starts(np.array([7.0, 5.0, np.inf]), np.array([0, 0, 1]), 2).tolist()
    [5.0, inf]
    """
    began = np.full(wards, np.inf)
    np.minimum.at(began, home[home >= 0], signed_off[home >= 0])
    return began if sessions is None else np.fmin(began, sessions)


def shares(exposed: Exposure, acted_on: Bools, ward: Codes, month: Codes, wards: int, months: int) -> Floats:
    """float64[wards, months]: share of readings by people signed off, NaN where nobody named charted."""
    counted = acted_on & ~exposed.untold & (ward >= 0)
    cell = ward[counted] * months + month[counted]
    total = np.bincount(cell, minlength=wards * months)
    by = np.bincount(cell, exposed.trained[counted], wards * months)
    proportions: Floats = np.divide(by, total, out=np.full(wards * months, np.nan), where=total > 0)
    return proportions.reshape(wards, months)


def compared_months(exposed: Exposure, acted_on: Bools, month: Codes, months: int) -> Bools:
    """bool[months]: months in which both people signed off and people not yet signed off charted enough."""
    not_yet = acted_on & ~exposed.trained & ~exposed.untold
    after = np.bincount(month[exposed.trained], minlength=months)
    before = np.bincount(month[not_yet], minlength=months)
    return np.asarray((after >= ENOUGH_READINGS) & (before >= ENOUGH_READINGS))
