"""Funnel plots: which wards differ from the others by more than chance and the usual differences?

Limits are of the share expected everywhere, not intervals around each ward, so a small ward is not called odd
for being small. Wards differ in ordinary ways too (case mix, rounds), and limits of chance alone would flag
most large wards; so the limits are as much wider as the wards differ among themselves (`between`).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from browline.audit.overtime.between import Overdispersion, additive, centre_and_overdispersion
from browline.audit.overtime.binomial import exact_limit
from browline.audit.overtime.counted import Counted, Counts, Floats, Given
from browline.audit.overtime.outcome import FunnelPosition
from browline.errors import Refusal

# Small numbers are withheld; from fewer wards no spread between them can be told: our choice.
FEWEST_READINGS, FEWEST_UNITS = 10, 5
OUTSIDE = (0.001, 0.999)


@dataclass(frozen=True)
class Unit:
    """One ward; `proportion` and `z`, its distance in the funnel's own sd, are None where readings are too few."""

    name: str
    total: int
    proportion: float | None
    z: float | None
    position: FunnelPosition


@dataclass(frozen=True)
class Funnel:
    """Wards around the share expected of all, `centre`, with the `overdispersion` between them."""

    centre: float
    overdispersion: Overdispersion
    units: tuple[Unit, ...]

    def limits(self, probability: float, totals: Sequence[int] | Counts) -> Floats:
        """The share that a ward like the others stays under with this chance, float64[k]; under 0: no limit."""
        n = np.asarray(totals, np.int64)
        away = exact_limit(probability, self.centre, n) - self.centre
        binomial_sd = Overdispersion(1.0, 0.0).sd(self.centre, n.astype(float))
        return np.asarray(
            self.centre + away * self.overdispersion.sd(self.centre, n.astype(float)) / binomial_sd
        )

    @property
    def error_rate(self) -> str:
        """How often a ward like the others is flagged, in words: 1 in 500 were the spread known, see the tests."""
        return "fewer than one ward in 100 falls outside though it is like the others"


def funnel(
    names: Sequence[str],
    counts: Given,
    totals: Given,
    *,
    target: float | None = None,
    family: Callable[[float], Overdispersion] = additive,
) -> Funnel:
    """Where each ward stands: outside where its share passes the 99.8 % limits (0.1 % on either side).

        limit = p + (exact binomial limit - p) sqrt(phi + tau^2 n / (p (1 - p)))

    The additive spread is the default: real differences between wards do not shrink as readings grow, and a
    common factor would flag large honest wards for ever.

    - `names`: k wards. `counts`, `totals`: int[k], 0 <= count <= total, total >= 1.
    - `target`: the share expected, in (0, 1); None to find it from the wards.
    - `family`: `additive` or `multiplicative`.

    Wards under 10 readings are withheld and count for nothing; with fewer than five others, or no event among
    them, all are too few to tell. Raises Refusal where a count is no part of its total or a name is missing.
    Source: Spiegelhalter 2005, Stat Med 24:1185-1202 (from memory).

    >>> made = funnel(["Elm", "Hazel", "Oak", "Ash", "Fir", "Yew"], [20, 24, 18, 22, 110, 1], [1000] * 5 + [4])
    >>> [u.position.value for u in made.units][3:]
    ['inside', 'outside-high', 'too-few-to-tell']
    """
    given = Counted.checked(counts, totals)
    if len(names) != len(given.totals):
        raise Refusal(
            f"{len(names)} names came with {len(given.totals)} counts.",
            "One name for each ward is wanted.",
            "Name every ward.",
        )
    enough = given.totals >= FEWEST_READINGS
    proportions = given.proportions[enough]
    if enough.sum() < FEWEST_UNITS or proportions.max() == 0.0 or proportions.min() == 1.0:
        return Funnel(0.0, Overdispersion(1.0, 0.0), tuple(map(_withheld, names, given.totals)))
    centre, overdispersion = centre_and_overdispersion(
        proportions, given.totals[enough].astype(float), family, target
    )
    curve = Funnel(centre, overdispersion, ())
    return Funnel(centre, overdispersion, _units(curve, names, given))


def _units(curve: Funnel, names: Sequence[str], given: Counted) -> tuple[Unit, ...]:
    low, high = (curve.limits(probability, given.totals) for probability in OUTSIDE)
    z = (given.proportions - curve.centre) / curve.overdispersion.sd(curve.centre, given.totals.astype(float))
    rows = zip(names, given.totals, given.proportions, z, low, high, strict=True)
    return tuple(
        _withheld(name, n)
        if n < FEWEST_READINGS
        else Unit(name=name, total=int(n), proportion=float(p), z=float(e), position=_position(p, a, b))
        for name, n, p, e, a, b in rows
    )


def _position(proportion: float, low: float, high: float) -> FunnelPosition:
    if low <= proportion <= high:
        return FunnelPosition.INSIDE
    return FunnelPosition.LOW if proportion < low else FunnelPosition.HIGH


def _withheld(name: str, total: int) -> Unit:
    return Unit(name=name, total=int(total), proportion=None, z=None, position=FunnelPosition.TOO_FEW)
