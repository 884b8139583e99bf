"""Readings as histograms: one for each ward, unit and site, with small sites of a ward taken together."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.lattice import CELSIUS, FAHRENHEIT, FILED, HUNDREDTHS, Floats, Lattice
from browline.readings import Readings

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

FEWEST_OF_A_SITE = 200
"""Sites of a ward with fewer readings share one histogram: a mixture of sites is still smooth."""
FINE, CONVERTED = 0.2, 0.9
"""A ward charts with two decimals where over a fifth of its °C numbers are no tenths; these are converted where nine
in ten lie on tenths of °F."""
NEAR = 0.1
"""Tenths of °F: what rounding to hundredths of °C can move a number (0.09), and no more."""


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
    """A table for each lattice on which anything is charted.

    Values charted as if in the other unit and put right are left out, the unit test counts them; so is a number
    that is no step of its ward's lattice. A ward that charts °C with two decimals is looked at closer: see `_fine`.
    """
    as_charted = readings.charted
    if as_charted is None:
        raise ValueError("the audit needs the numbers as charted")
    value, native_f = as_charted.value, as_charted.fahrenheit
    code = readings.codes["ward"].astype(np.int64)
    ward = np.where(code < 0, len(readings.names["ward"]), code)
    tenth = CELSIUS.at(value)
    through, hundredth = _fine(value, ~native_f & ~as_charted.slipped, ward)
    place_c = np.where(native_f | through | hundredth, -1, tenth)
    places = (
        (CELSIUS, place_c),
        (FAHRENHEIT, np.where(native_f, FAHRENHEIT.at(value), -1)),
        (FILED, np.where(through, _back(value), -1)),
        (HUNDREDTHS, np.where(hundredth, HUNDREDTHS.at(value), -1)),
    )
    made = (_table(readings, lattice, place) for lattice, place in places)
    return tuple(t for t in made if len(t.which))


def _fine(value: Floats, celsius: Flags, ward: Ints) -> tuple[Flags, Flags]:
    """(through, hundredth): readings of wards whose two-decimal °C numbers are converted °F tenths, or are not.

    A °F tenth in hundredths of °C takes about one number in five, so a ward of true hundredths cannot look converted.
    """
    wards = int(ward.max(initial=0)) + 1
    off = celsius & (CELSIUS.at(value) < 0) & (HUNDREDTHS.at(value, 0.5) >= 0)
    back = off & (_back(value) >= 0)
    every, fine, converted = (np.bincount(ward[m], minlength=wards) for m in (celsius, off, back))
    fine_ward = fine > FINE * np.maximum(every, 1)
    through_ward = fine_ward & (converted >= CONVERTED * fine)
    return celsius & through_ward[ward], celsius & (fine_ward & ~through_ward)[ward]


def _back(value: Floats) -> Ints:
    """The °F tenth that a number in °C, rounded to hundredths or not at all, was converted from; -1 for none."""
    return FAHRENHEIT.at(value * 1.8 + 32.0, NEAR)


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
