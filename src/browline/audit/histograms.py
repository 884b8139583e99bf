"""Readings as histograms: one for each ward, unit and site, with small sites of a ward taken together."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.recording_grid import (
    CELSIUS,
    FAHRENHEIT,
    FILED,
    HUNDREDTHS,
    TWENTIETHS,
    Floats,
    RecordingGrid,
)
from browline.readings import AsCharted, Readings

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

FEWEST_OF_A_SITE = 200
"""Sites of a ward with fewer readings share one histogram: a mixture of sites is still smooth."""
FINE, MOSTLY = 0.2, 0.9
"""A ward charts with two decimals where over a fifth of its °C numbers are no tenths; nine in ten tell its grid."""
CELSIUS_GRIDS = (CELSIUS, FILED, TWENTIETHS, HUNDREDTHS)
NEAR = 0.1
"""Tenths of °F: what rounding to hundredths of °C can move a number (0.09), and no more."""


@dataclass(frozen=True)
class Table:
    """The readings charted in one unit, counted.

    - `grid`: of the unit. `which`: int64[m], positions among the readings. `place`: int64[m], the bin of
      each. `group`: int64[m], the histogram of each. `ward`, `site`: int64[G], of each histogram; a
      ward after the last where the chart does not say, site -1 for small ones together.
    """

    grid: RecordingGrid
    which: Ints
    place: Ints
    group: Ints
    ward: Ints
    site: Ints

    @property
    def counts(self) -> NDArray[np.float64]:
        """float64[G, K], readings by histogram and number."""
        return crossed(self.group, self.place, len(self.ward), self.grid.size)


def crossed(row: Ints, column: Ints, rows: int, columns: int) -> NDArray[np.float64]:
    """float64[rows, columns], how often each pair of codes occurs.

    >>> crossed(np.array([0, 0, 1]), np.array([1, 1, 0]), 2, 2).tolist()
    [[0.0, 2.0], [1.0, 0.0]]
    """
    flat = np.bincount(row * columns + column, minlength=rows * columns)
    return flat.reshape(rows, columns).astype(np.float64)


def tables(readings: Readings, charted: AsCharted, ward: Ints) -> tuple[Table, ...]:
    """A table for each recording grid on which anything is charted. `ward`: int64[n], from 0.

    Values charted as if in the other unit and put right are left out, the unit test counts them; so is a number
    that is no step of its ward's recording grid. A ward that charts °C with two decimals has its own.
    """
    value, native_f, right = charted.value, charted.fahrenheit, ~charted.slipped
    site = readings.codes["site"].astype(np.int64)
    chosen = _grids(value, ~native_f & right, ward)
    counted = [_table(FAHRENHEIT, np.where(native_f & right, FAHRENHEIT.places(value), -1), ward, site)]
    for k, grid in enumerate(CELSIUS_GRIDS):
        place = _back(value) if grid is FILED else grid.places(value)
        counted.append(_table(grid, np.where((chosen == k) & ~native_f & right, place, -1), ward, site))
    return tuple(t for t in counted if len(t.which))


def _grids(value: Floats, celsius: Flags, ward: Ints) -> Ints:
    """int64[n], which of `CELSIUS_GRIDS` the ward of each reading charts on.

    Two decimals that came from tenths of °F are told by lying on them: hundredths do so about one time in five.
    """
    wards = int(ward.max(initial=0)) + 1
    off = celsius & (CELSIUS.places(value) < 0) & (HUNDREDTHS.places(value, 0.5) >= 0)

    def count(mark: Flags) -> Ints:
        return np.bincount(ward[mark], minlength=wards)

    fine = count(off)
    is_fine = fine > FINE * np.maximum(count(celsius), 1)
    filed = is_fine & (count(off & (_back(value) >= 0)) >= MOSTLY * fine)
    twentieth = is_fine & ~filed & (count(off & (TWENTIETHS.places(value) >= 0)) >= MOSTLY * fine)
    by_ward = np.select([~is_fine, filed, twentieth], [0, 1, 2], 3)
    return by_ward[ward]


def _back(value: Floats) -> Ints:
    """The °F tenth that a number in °C, rounded to hundredths or not at all, was converted from; -1 for none."""
    return FAHRENHEIT.places(value * 1.8 + 32.0, NEAR)


def _table(grid: RecordingGrid, every_place: Ints, every_ward: Ints, every_site: Ints) -> Table:
    which = np.flatnonzero(every_place >= 0)
    place, ward, site = every_place[which], every_ward[which], every_site[which]
    sites = int(site.max(initial=-1)) + 2
    cell = ward * sites + site + 1
    size = np.bincount(cell, minlength=1)
    every = np.arange(len(size))
    home = np.where(size < FEWEST_OF_A_SITE, every // sites * sites, every)
    used = np.flatnonzero(np.bincount(home[size > 0], minlength=1))
    number = np.zeros(len(size), np.int64)
    number[used] = np.arange(len(used))
    return Table(
        grid=grid,
        which=which,
        place=place,
        group=number[home][cell],
        ward=used // sites,
        site=used % sites - 1,
    )
