"""Readings as histograms: one for each ward, unit and site, with small sites of a ward taken together."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.lattice import CELSIUS, FAHRENHEIT, Lattice
from browline.readings import Readings

Ints = NDArray[np.int64]

FEWEST_OF_A_SITE = 200
"""Sites of a ward with fewer readings share one histogram: a mixture of sites is still smooth."""


@dataclass(frozen=True)
class Table:
    """The readings charted in one unit, counted.

    - `lattice`: of the unit. `which`: int64[m], positions among the readings. `place`: int64[m], the bin of
      each. `group`: int64[m], the histogram of each. `ward`, `site`: int64[G], of each histogram; a
      ward after the last where the chart does not say, site -1 for small ones together.
    """

    lattice: Lattice
    which: Ints
    place: Ints
    group: Ints
    ward: Ints
    site: Ints

    @property
    def counts(self) -> NDArray[np.float64]:
        """float64[G, K], readings by histogram and number."""
        return crossed(self.group, self.place, len(self.ward), self.lattice.size)


def crossed(row: Ints, column: Ints, rows: int, columns: int) -> NDArray[np.float64]:
    """float64[rows, columns], how often each pair of codes occurs.

    >>> crossed(np.array([0, 0, 1]), np.array([1, 1, 0]), 2, 2).tolist()
    [[0.0, 2.0], [1.0, 0.0]]
    """
    flat = np.bincount(row * columns + column, minlength=rows * columns)
    return flat.reshape(rows, columns).astype(np.float64)


def tables(readings: Readings) -> tuple[Table, ...]:
    """A table for each unit in which anything is charted.

    A number that is a tenth of the other unit only (36.67 °C is 98.0 °F) belongs to the other unit's table;
    values charted as if in the other unit and put right are left out, the unit test counts them.
    """
    as_charted = readings.charted
    if as_charted is None:
        raise ValueError("the audit needs the numbers as charted")
    in_c, in_f = CELSIUS.at(readings.value), FAHRENHEIT.at(readings.value * 1.8 + 32.0)
    native_f = as_charted.fahrenheit
    place_c = np.where(native_f, -1, CELSIUS.at(as_charted.value))
    place_f = np.where(native_f, FAHRENHEIT.at(as_charted.value), np.where(place_c < 0, in_f, -1))
    place_c = np.where(native_f & (place_f < 0), in_c, place_c)
    made = (_table(readings, CELSIUS, place_c), _table(readings, FAHRENHEIT, place_f))
    return tuple(t for t in made if len(t.which))


def _table(readings: Readings, lattice: Lattice, place: Ints) -> Table:
    slipped = readings.charted.slipped if readings.charted is not None else False
    which = np.flatnonzero((place >= 0) & ~slipped)
    code = readings.codes["ward"][which].astype(np.int64)
    ward = np.where(code < 0, len(readings.names["ward"]), code)
    site = readings.codes["site"][which].astype(np.int64)
    sites = int(site.max(initial=-1)) + 2
    cell = ward * sites + site + 1
    size = np.bincount(cell, minlength=1)
    every = np.arange(len(size))
    home = np.where(size < FEWEST_OF_A_SITE, every // sites * sites, every)
    used = np.flatnonzero(np.bincount(home[size > 0], minlength=1))
    number = np.zeros(len(size), np.int64)
    number[used] = np.arange(len(used))
    return Table(lattice, which, place[which], number[home][cell], used // sites, used % sites - 1)
