"""How much do wards differ beyond chance, when some of them may be the odd ones we look for?

Each ward's distance from the centre, in its own sd, is drawn in at ± 1.28, the outer tenths of a normal, and
centre and spread are set so that the drawn-in distances average 0 and have the square that honest wards would.
So neither the centre nor the limits follow the wards they are there to judge.

Source: Spiegelhalter 2005, Stat Med 24:1185-1202, draws in the outer tenths of the observed z; drawing in at
fixed distances and solving for both is proposal 2 of Huber 1964, Ann Math Stat 35:73-101 (both from memory),
taken because the tenth of five wards is half a ward.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from browline.audit.overtime.counted import Floats

DRAWN_IN = 1.2815515655446004
# E min(|z|, q)^2 of a standard normal z: 0.8 - 2 q phi(q) + 0.2 q^2 at the q above.
DRAWN_IN_SQUARE = 0.6786545589528747


@dataclass(frozen=True)
class Overdispersion:
    """How wards of one centre p differ: the variance of a share at total n is ``phi p (1 - p) / n + tau^2``.

    `phi` >= 1; `tau` >= 0, a share.
    """

    phi: float
    tau: float

    def sd(self, centre: float, totals: Floats) -> Floats:
        """Standard deviation of a share at each total, float64[k]."""
        return np.asarray(np.sqrt(self.phi * centre * (1.0 - centre) / totals + self.tau**2))


def additive(excess: float) -> Overdispersion:
    """True shares differ by the same whatever the ward's size: ``tau = excess``."""
    return Overdispersion(1.0, excess)


def multiplicative(excess: float) -> Overdispersion:
    """Chance is the same factor wider in every ward: ``sqrt(phi) = 1 + excess``."""
    return Overdispersion((1.0 + excess) ** 2, 0.0)


def centre_and_overdispersion(
    proportions: Floats,
    totals: Floats,
    family: Callable[[float], Overdispersion],
    target: float | None = None,
) -> tuple[float, Overdispersion]:
    """Centre p and spread at which the drawn-in distances of the wards are as they should be.

        sum psi(e_i) / sd_i = 0,   sum psi(e_i)^2 = (k - 1) E psi^2,   e_i = (p_i - p) / sd_i

    - `proportions` float64[k] in [0, 1], not all 0 or all 1; `totals` float64[k] >= 1; k >= 2.
    - `family`: `additive` or `multiplicative`. `target`: the centre where it is given, in (0, 1).

    No spread is added where chance alone explains the wards.

    >>> shares = np.array([.02, .024, .018, .022, .11])
    >>> centre, overdispersion = centre_and_overdispersion(shares, np.full(5, 1000.0), additive)
    >>> round(centre, 3), round(overdispersion.tau, 3)
    (0.023, 0.003)
    """
    from scipy.optimize import brentq

    freedom = len(proportions) - (target is None)

    def centre(overdispersion: Overdispersion) -> float:
        return target if target is not None else _centre(proportions, totals, overdispersion)

    def excess_square(excess: float) -> float:
        overdispersion = family(excess)
        p = centre(overdispersion)
        drawn = _drawn_in((proportions - p) / overdispersion.sd(p, totals))
        return float((drawn**2).sum()) - freedom * DRAWN_IN_SQUARE

    excess = 0.0
    if excess_square(0.0) > 0.0:
        most = 1e-3
        while excess_square(most) > 0.0:
            most *= 2.0
        excess = float(brentq(excess_square, 0.0, most, xtol=1e-10))
    overdispersion = family(excess)
    return centre(overdispersion), overdispersion


def _centre(proportions: Floats, totals: Floats, overdispersion: Overdispersion) -> float:
    """The root of ``sum psi(e_i) / sd_i`` between the lowest and the highest share."""
    from scipy.optimize import brentq

    def balance(p: float) -> float:
        sd = overdispersion.sd(p, totals)
        return float((_drawn_in((proportions - p) / sd) / sd).sum())

    edge = 1e-9
    low, high = max(edge, float(proportions.min())), min(1.0 - edge, float(proportions.max()))
    return low if high - low < edge else float(brentq(balance, low, high, xtol=1e-12))


def _drawn_in(e: Floats) -> Floats:
    return np.clip(e, -DRAWN_IN, DRAWN_IN)
