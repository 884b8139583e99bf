"""The readings without the chart: what the instruments showed, as the other rooms take readings.

For studies and tests of rooms that come after the import. Nothing is slipped, copied or left out here; the
planted faults of instruments, people and wards are all in it.
"""

import numpy as np

from browline.readings import Readings
from browline.synthetic import sites
from browline.synthetic.arrays import Ints, Texts
from browline.synthetic.charting import displayed_celsius
from browline.synthetic.reading import House, Latent
from browline.synthetic.stays import Stays


def clean_readings(latent: Latent, stays: Stays, house: House) -> Readings:
    """All readings in °C as shown, by stay and time; `row` is the position in the latent arrays."""
    displayed = displayed_celsius(latent, house.fleet)
    codes = {
        "patient": stays.patient[latent.stay],
        "stay": latent.stay,
        "site": latent.site,
        "instrument": latent.instrument,
        "person": latent.person,
        "ward": latent.ward,
    }
    names = {
        "patient": _numbered("p", len(stays)),
        "stay": _numbered("s", len(stays)),
        "site": sites.NAMES,
        "instrument": _names(house.fleet.id),
        "person": _names(house.people.id),
        "ward": _names(house.wards.name),
    }
    return Readings(
        time=latent.time,
        hour=house.clock.hour(latent.time),
        value=displayed,
        codes={factor: _int32(code) for factor, code in codes.items()},
        names=names,
        row=np.arange(len(latent), dtype=np.int64),
        source=np.zeros(len(latent), dtype=np.int32),
    )


def _numbered(letter: str, number: int) -> tuple[str, ...]:
    return tuple(f"{letter}{k}" for k in range(number))


def _names(column: Texts) -> tuple[str, ...]:
    return tuple(str(word) for word in column)


def _int32(code: Ints) -> "np.ndarray[tuple[int, ...], np.dtype[np.int32]]":
    return code.astype(np.int32)
