"""Readings as columns in the order of their stays: what the passes over the readings read.

Each stay lists the effects and the cells it touches once, so that a pass works with few columns a stay however
long the stay is, and never searches.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from browline.variation.arrays import Codes, Floats

Bools = NDArray[np.bool_]


class Arrays(NamedTuple):
    """The columns as the kernels read them; n readings in S stays, rows in the order of stay and time.

    - `y` float64[n], °C from 37. `x` float64[n, p]; `scaled` bool[p]: whether a column rises with the site's slope.
    - `time` float64[n], hours. `site` int64[n]. `variance_weight` float64[n]: error variance as a
      multiple of the site's own.
    - `first` int64[S + 1]: where each stay begins. `group` int64[S]: its care group.
    - `local` int32[n, F]: which of the stay's effects, -1 for none; `value` float64[n, F or 0]: its covariate, all 1
      where there are no columns. `touched` int64: the effects of all stays one after the other, `begins` int64[S + 1].
    - `cell` int32[n]: which of the stay's cells (sites); `cells` int32[S]: how many.
    """

    y: Floats
    x: Floats
    scaled: Bools
    time: Floats
    site: Codes
    variance_weight: Floats
    first: Codes
    group: Codes
    local: NDArray[np.int32]
    value: Floats
    touched: Codes
    begins: Codes
    cell: NDArray[np.int32]
    cells: NDArray[np.int32]


@dataclass(frozen=True)
class Factor:
    """A named random factor: `codes` int64[n] in 0..levels-1, -1 where not said; `value` float64[n], or None for 1."""

    name: str
    codes: Codes
    levels: int
    value: Floats | None = None


@dataclass(frozen=True)
class Columns:
    """The arrays with what their numbers mean.

    - `factors`: (name, slice among the q effects) in order. `order` int64[n]: where each row stood at the caller.
    """

    arrays: Arrays
    factors: tuple[tuple[str, slice], ...]
    order: Codes

    def __len__(self) -> int:
        return len(self.arrays.y)

    @property
    def effects(self) -> int:
        """Number q of random effects."""
        return self.factors[-1][1].stop if self.factors else 0

    @property
    def stays(self) -> int:
        """Number S of stays."""
        return len(self.arrays.group)

    def slices(self) -> dict[str, slice]:
        """Where each factor's effects lie among all of them."""
        return dict(self.factors)

    def every(self, step: int) -> "Columns":
        """The columns of every `step`-th stay only."""
        c, stays = self.arrays, np.arange(0, self.stays, step)
        rows, touched = _ranges(c.first, stays), _ranges(c.begins, stays)
        by_reading = ("y", "x", "time", "site", "variance_weight", "local", "value", "cell")
        thinned = c._replace(
            **{name: np.ascontiguousarray(getattr(c, name)[rows]) for name in by_reading},
            first=_begins(c.first, stays),
            begins=_begins(c.begins, stays),
            touched=c.touched[touched],
            group=c.group[stays],
            cells=c.cells[stays],
        )
        return Columns(thinned, self.factors, self.order[rows])


def _ranges(edges: Codes, chosen: Codes) -> Codes:
    """All places between the chosen edges and their next ones, one range after the other."""
    lengths = edges[chosen + 1] - edges[chosen]
    begins = np.cumsum(lengths) - lengths
    return np.repeat(edges[chosen] - begins, lengths) + np.arange(int(lengths.sum()))


def _begins(edges: Codes, chosen: Codes) -> Codes:
    return np.concatenate([[0], np.cumsum(edges[chosen + 1] - edges[chosen])]).astype(np.int64)


def columns(
    y: Floats,
    x: Floats,
    factors: Sequence[Factor],
    stay: Codes,
    time: Floats,
    *,
    site: Codes | None = None,
    cell: Codes | None = None,
    scaled: Bools | None = None,
    variance_weight: Floats | None = None,
    group: Codes | None = None,
) -> Columns:
    """Columns from plain arrays of n readings in any order.

    `cell` is what a patient's own constant difference belongs to, the site unless given; `group` int64[n] is
    taken from each stay's first reading. Without `variance_weight` every reading counts in full.
    """
    n = len(y)
    order = np.lexsort((time, stay))
    first = np.flatnonzero(np.diff(stay[order], prepend=-np.inf) != 0)
    first = np.append(first, n).astype(np.int64)
    sites = np.zeros(n, np.int64) if site is None else np.asarray(site, np.int64)
    ends = np.cumsum([0, *(f.levels for f in factors)])
    local, touched, begins = touched_by_stay(first, _codes(factors, ends, order))
    cell_codes, _, cell_begins = touched_by_stay(
        first, np.asarray(sites if cell is None else cell, np.int64)[order, None]
    )
    arrays = Arrays(
        y=np.asarray(y, float)[order],
        x=np.ascontiguousarray(np.asarray(x, float)[order]),
        scaled=np.zeros(x.shape[1], bool) if scaled is None else np.asarray(scaled, bool),
        time=np.asarray(time, float)[order],
        site=sites[order],
        variance_weight=np.ones(n) if variance_weight is None else np.asarray(variance_weight, float)[order],
        first=first,
        group=np.zeros(len(first) - 1, np.int64)
        if group is None
        else np.asarray(group, np.int64)[order][first[:-1]],
        local=local,
        value=_covariates(factors, order),
        touched=touched,
        begins=begins,
        cell=np.ascontiguousarray(cell_codes[:, 0]),
        cells=np.diff(cell_begins).astype(np.int32),
    )
    places = zip(factors, ends, ends[1:], strict=False)
    return Columns(arrays, tuple((f.name, slice(int(a), int(b))) for f, a, b in places), order)


def _codes(factors: Sequence[Factor], ends: Codes, order: Codes) -> Codes:
    """int64[n, F]: the number of each reading's effect among all, -1 for none."""
    numbers = np.full((len(order), len(factors)), -1, np.int64)
    for k, factor in enumerate(factors):
        code = np.asarray(factor.codes)[order]
        numbers[:, k] = np.where(code >= 0, code + ends[k], -1)
    return numbers


def _covariates(factors: Sequence[Factor], order: Codes) -> Floats:
    """float64[n, F], or no columns where every covariate is 1."""
    if all(f.value is None for f in factors):
        return np.zeros((len(order), 0))
    ones = np.ones(len(order))
    return np.column_stack([ones if f.value is None else np.asarray(f.value, float)[order] for f in factors])


def touched_by_stay(first: Codes, codes: Codes) -> tuple[NDArray[np.int32], Codes, Codes]:
    """The distinct codes of every stay in order of appearance, and each reading's place among its stay's."""
    codes = np.ascontiguousarray(codes)
    width = int(codes.max(initial=-1)) + 1
    counts = _count(first, codes, np.full(width, -1, np.int64))
    begins = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    local = np.full(codes.shape, -1, np.int32)
    touched = np.empty(int(begins[-1]), np.int64)
    _place(first, codes, begins, np.full(width, -1, np.int64), local, touched)
    return local, touched, begins


@njit(cache=True, nogil=True)
def _count(first, codes, last_stay):  # type: ignore[no-untyped-def]
    """How many distinct codes each stay has; `seen` int64[width] starts at -1."""
    counts = np.zeros(len(first) - 1, np.int64)
    for s in range(len(first) - 1):
        for i in range(first[s], first[s + 1]):
            for f in range(codes.shape[1]):
                code = codes[i, f]
                if code >= 0 and last_stay[code] != s:
                    last_stay[code] = s
                    counts[s] += 1
    return counts


@njit(cache=True, nogil=True)
def _place(first, codes, begins, place, local, touched):  # type: ignore[no-untyped-def]
    """Fill `local` and `touched`; `place` int64[width] starts at -1 and holds places among all touched."""
    for s in range(len(first) - 1):
        following = begins[s]
        for i in range(first[s], first[s + 1]):
            for f in range(codes.shape[1]):
                code = codes[i, f]
                if code >= 0:
                    if place[code] < begins[s]:
                        place[code] = following
                        touched[following] = code
                        following += 1
                    local[i, f] = place[code] - begins[s]
