"""What could a roll-out order detect? The standard error of a level effect, before any ward has started.

Month means of W wards over T months, x the share of a ward-month's readings by people signed off:

    ybar_wt = month_t + theta x_wt + h_w + p_wt + r_w x_wt + u_wt + ebar_wt
    V_w = sd_ward^2 + sd_person^2 / P k^|t - t'| + sd_response^2 x_t x_t' + sd_ward_month^2 rho^|t - t'| + D_w
    D_w = diag(sd_reading^2 / effective readings)

Months are estimated, never known, so what all wards share tells nothing of theta. By generalised least squares

    1 / se^2 = sum_w x_w' V_w^-1 x_w - c' M^-1 c,    M = sum_w V_w^-1,    c = sum_w V_w^-1 x_w

Without decay and without the spreads of people and responses this is the closed form of Hussey and Hughes 2007,
Contemp Clin Trials 28:182. Where wards are to be compared with themselves only, as in the analysis (terms.py), give
them `WITHIN` as their spread: what they differ by then tells nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Floats

CHANCE, NODES = 0.05, 400
WITHIN = 5.0
"""A spread between wards in °C so wide that comparing one ward with another is worth nothing."""
_NOTHING = 1e-7
"""Information on theta left by the months, as a share of that before; less than this is rounding."""


@dataclass(frozen=True)
class Spreads:
    """Standard deviations in °C; correlations a month in [0, 1].

    - `ward`: constant differences between wards. `ward_month` with `decay`: a ward's months wander, months one
      apart correlated `decay`, two apart `decay`^2.
    - `person`: between people, `people` of them to a ward, `people_stay` the share still there a month later.
    - `response`: by how much wards differ in what the teaching does there.
    - `reading`: of one reading about its ward-month, patients included.
    """

    ward: float
    ward_month: float
    decay: float
    reading: float
    response: float = 0.0
    person: float = 0.0
    people: float = 20.0
    people_stay: float = 1.0

    def __post_init__(self) -> None:
        if min(self.ward, self.ward_month, self.response, self.person) < 0 or self.reading <= 0:
            raise ValueError("spreads are nought or more, and that of readings more than nought")
        if not (0 <= self.decay <= 1 and 0 <= self.people_stay <= 1 and self.people > 0):
            raise ValueError("correlations a month lie from 0 to 1, and every ward has people")


@dataclass(frozen=True)
class Rollout:
    """Who is signed off where and when, how much is charted, and how the charts spread.

    - `share`: float64[W, T], of a ward-month's readings those by people signed off, 0 to 1.
    - `effective`: float64[W, T], readings worth, those of one stay counted as what they add; 0: nothing charted.
    """

    share: Floats
    effective: Floats
    spreads: Spreads

    def __post_init__(self) -> None:
        if self.share.ndim != 2 or self.share.shape != self.effective.shape:
            raise ValueError("share and effective readings are tables of wards by months, of one size")
        if not (np.all((self.share >= 0) & (self.share <= 1)) and np.all(self.effective >= 0)):
            raise ValueError("shares lie from 0 to 1, and effective readings are nought or more")

    @classmethod
    def starting(
        cls,
        starts: Sequence[int | None],
        months: int,
        effective: float | Sequence[float],
        spreads: Spreads,
        uptake: Sequence[float] = (1.0,),
    ) -> "Rollout":
        """The roll-out in which ward w starts in month `starts[w]` (0 the first; None: not within the months).

        - `effective`: effective readings a month, of every ward alike or of each.
        - `uptake`: share signed off in the first month, the second ...; the last one lasts.

        >>> Rollout.starting([1, 2], 3, 100.0, Spreads(0.1, 0.0, 0.0, 0.5)).share.tolist()
        [[0.0, 1.0, 1.0], [0.0, 0.0, 1.0]]
        """
        since = np.arange(months) - np.array([months if s is None else s for s in starts])[:, None]
        reached = np.asarray(uptake, float)[np.clip(since, 0, len(uptake) - 1)]
        charted = np.broadcast_to(np.reshape(np.asarray(effective, float), (-1, 1)), since.shape)
        return cls(np.where(since >= 0, reached, 0.0), charted.copy(), spreads)

    @property
    def freedom(self) -> int:
        """Degrees of freedom for t: wards less 2, one for the level and one for the effect.

        Source: between-cluster freedom, common practice for few clusters (from memory); months are not counted.
        """
        return max(len(self.share) - 2, 0)

    def covariance(self, ward: int) -> Floats:
        """float64[T, T] in °C^2, ``V_w`` above; infinite on the diagonal where nothing is charted."""
        s, x = self.spreads, self.share[ward]
        apart = np.abs(np.subtract.outer(np.arange(len(x)), np.arange(len(x))))
        people = s.person**2 / s.people * np.power(s.people_stay, apart)
        shared: Floats = s.ward**2 + people + s.response**2 * np.outer(x, x)
        charted = self.effective[ward]
        noise = np.divide(s.reading**2, charted, out=np.full(len(x), np.inf), where=charted > 0)
        return shared + s.ward_month**2 * np.power(s.decay, apart) + np.diag(noise)


def design_se(rollout: Rollout) -> float:
    """Standard error in °C of the level effect of being signed off; infinite where the order cannot tell it.

    It cannot where in every month all wards that chart have reached the same share: then theta is a month's doing.

    >>> wards = Spreads(ward=0.1, ward_month=0.0, decay=0.0, reading=0.5)
    >>> round(design_se(Rollout.starting([1, 2, 3], 4, 200.0, wards)), 4)
    0.0384
    >>> design_se(Rollout.starting([2, 2, 2], 4, 200.0, wards))
    inf
    """
    months = rollout.share.shape[1]
    between, cross, information = np.zeros((months, months)), np.zeros(months), 0.0
    for ward, x in enumerate(rollout.share):
        charted = np.flatnonzero(rollout.effective[ward] > 0)
        within = np.ix_(charted, charted)
        precision = np.linalg.inv(rollout.covariance(ward)[within])
        between[within] += precision
        cross[charted] += precision @ x[charted]
        information += float(x[charted] @ precision @ x[charted])
    charted_months = np.flatnonzero(rollout.effective.sum(axis=0) > 0)
    remaining = information - float(
        cross[charted_months]
        @ np.linalg.solve(between[np.ix_(charted_months, charted_months)], cross[charted_months])
    )
    return float(remaining**-0.5) if remaining > _NOTHING * information else np.inf


def power(rollout: Rollout, effect_c: float, *, chance: float = CHANCE) -> float:
    """How often the 95 % interval would be clear of 0 if the true effect were `effect_c` °C; both sides."""
    return power_in_se(effect_c / design_se(rollout), rollout.freedom, chance=chance)


def power_in_se(effect_in_se: float, freedom: float, *, chance: float = CHANCE) -> float:
    """The same for an effect in standard errors; `freedom` infinite is the normal law, below 1 nothing is told.

    ``P(|T| > t) = E Phi(delta - t s) + Phi(-delta - t s)`` with T noncentral t, s^2 ~ chi^2(freedom) / freedom.

    >>> round(power_in_se(2.8016, np.inf), 3), round(power_in_se(2.8016, 10), 3)
    (0.8, 0.714)
    """
    from scipy import special

    if freedom < 1:
        return 0.0
    if np.isinf(freedom):
        edges, weight = np.array([special.ndtri(1 - chance / 2)]), np.ones(1)
    else:
        nodes, weight = np.polynomial.legendre.leggauss(NODES)
        scale = np.sqrt(special.chdtri(freedom, (1 - nodes) / 2) / freedom)
        edges, weight = special.stdtrit(freedom, 1 - chance / 2) * scale, weight / 2
    beyond = special.ndtr(effect_in_se - edges) + special.ndtr(-effect_in_se - edges)
    return float(weight @ beyond)


def detectable(rollout: Rollout, wanted: float = 0.8, *, chance: float = CHANCE) -> float:
    """The smallest effect in °C that is seen with power `wanted` in (chance, 1); infinite where none is."""
    return design_se(rollout) * detectable_in_se(rollout.freedom, wanted, chance=chance)


def detectable_in_se(freedom: float, wanted: float, *, chance: float = CHANCE) -> float:
    """The effect, in standard errors, that is seen with power `wanted`; infinite without freedom.

    >>> round(detectable_in_se(np.inf, 0.8), 4)
    2.8016
    """
    from scipy.optimize import brentq

    if not chance < wanted < 1:
        raise ValueError(f"a power between {chance} and 1 is wanted, not {wanted}")
    if freedom < 1:
        return np.inf
    top = 4.0
    while power_in_se(top, freedom, chance=chance) < wanted:
        top *= 2
    return float(
        brentq(lambda moved: power_in_se(moved, freedom, chance=chance) - wanted, 0.0, top, xtol=1e-10)
    )
