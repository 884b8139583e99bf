"""The ordinary crossed mixed model as columns: response, fixed columns, named random factors, one nest.

Rows are put in the order of the nest once, so that every later step works on unbroken runs of readings.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]


@dataclass(frozen=True)
class Factor:
    """A named random factor: `codes` int64[n] in 0..levels-1, or -1 for a reading that does not say."""

    name: str
    codes: Codes
    levels: int


@dataclass(frozen=True)
class Design:
    """``y = X beta + sum_k Z_k u_k + nest + eps``, rows in the order of the nest.

    - `y` float64[n], centred by the caller or not; `x` float64[n, p] of full column rank.
    - `factors`: crossed random factors, ``u_k ~ N(0, tau_k^2 sigma^2)``.
    - `nest`: from the outside in, at most two named groupings, each inside the one before
      (stay, episode), ``N(0, tau^2 sigma^2)``; eliminated analytically.
    - `order` int64[n]: where each row stood in what the caller gave.
    """

    y: Floats
    x: Floats
    factors: tuple[Factor, ...]
    nest: tuple[Factor, ...]
    order: Codes

    @property
    def names(self) -> tuple[str, ...]:
        """The random terms in the order of the parameters: the nest first, then the crossed factors."""
        return tuple(f.name for f in (*self.nest, *self.factors))

    @property
    def width(self) -> int:
        """Number of crossed random effects in all."""
        return sum(f.levels for f in self.factors)

    def slices(self) -> Mapping[str, slice]:
        """Where each crossed factor's effects lie among all of them."""
        ends = np.cumsum([0, *(f.levels for f in self.factors)])
        return {f.name: slice(int(a), int(b)) for f, a, b in zip(self.factors, ends, ends[1:], strict=False)}


def design(
    y: Floats, x: Floats, factors: Mapping[str, Codes], nest: Mapping[str, Codes] | None = None
) -> Design:
    """A design from plain columns: any integer codes, -1 for missing, the nest named from the outside in.

    A missing outer code makes a group of its own. Dependent columns of `x` must have been left out.

    >>> d = design(np.array([1.0, 2.0, 4.0]), np.ones((3, 1)), {"plate": np.array([0, 1, 0])})
    >>> d.names, d.width
    (('plate',), 2)
    """
    groups = nested_codes(list((nest or {}).values()), len(y))
    order = np.lexsort(groups[::-1]) if groups else np.arange(len(y))
    made = tuple(
        Factor(name, code[order], int(code.max(initial=-1)) + 1)
        for name, code in zip(nest or {}, groups, strict=True)
    )
    crossed = tuple(
        Factor(name, np.asarray(code, np.int64)[order], int(np.max(code, initial=-1)) + 1)
        for name, code in factors.items()
    )
    return Design(np.asarray(y, float)[order], np.asarray(x, float)[order], crossed, made, order)


def nested_codes(columns: Sequence[Codes], n: int) -> list[Codes]:
    """Codes made unique within the grouping outside, counted 0, 1, ... without gaps; missing ones alone."""
    made: list[Codes] = []
    outer = np.zeros(n, np.int64)
    for column in columns:
        code = alone_where_missing(np.asarray(column, np.int64))
        outer = np.unique(outer * (code.max(initial=0) + 1) + code, return_inverse=True)[1].astype(np.int64)
        made.append(outer)
    return made


def alone_where_missing(code: Codes) -> Codes:
    """The codes with every -1 replaced by a new code of its own."""
    missing = code < 0
    made = code.copy()
    made[missing] = code.max(initial=-1) + 1 + np.arange(missing.sum())
    return made


def independent_columns(x: Floats) -> NDArray[np.bool_]:
    """Which columns of `x` are not made up of columns before them (Gram–Schmidt on the cross products).

    >>> independent_columns(np.array([[1.0, 1.0, 0.0], [1.0, 1.0, 1.0]])).tolist()
    [True, False, True]
    """
    scale = np.sqrt(np.einsum("ij,ij->j", x, x))
    gram = x.T @ x / np.outer(np.where(scale > 0, scale, 1.0), np.where(scale > 0, scale, 1.0))
    keep = np.zeros(x.shape[1], bool)
    for j in range(x.shape[1]):
        rest = gram[j, j]
        if keep.any():
            rest -= gram[j, keep] @ np.linalg.solve(gram[np.ix_(keep, keep)], gram[keep, j])
        keep[j] = rest > 1e-9
    return keep
