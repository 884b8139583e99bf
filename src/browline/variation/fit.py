"""The fit: spreads by REML from a warm start, and how fast a ward's months forget.

Large sets begin where every eighth stay ends, so that few passes read everything. The months' correlation rho is
taken from a short list by the criterion at the spreads found, then the spreads are settled once more.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize_scalar

from browline.variation.arrays import Floats
from browline.variation.effects.ar1 import chains_root
from browline.variation.effects.schur_complement import eliminated
from browline.variation.effects.solved import Solved, criterion
from browline.variation.likelihood import Surface
from browline.variation.model import Model
from browline.variation.optimise import Descent, descend
from browline.variation.outcome import Outcome
from browline.variation.random_factors import RHO
from browline.variation.stays.course import Course
from browline.variation.stays.cross_products import Sums
from browline.variation.stays.passes import sums

SETTLED, ROUGHLY = 1e-4, 1e-2
SAMPLE_ABOVE, SAMPLE_EVERY = 30_000, 8
RHOS = (0.0, 0.3, 0.6, 0.8, 0.9)
MOST_MONTH_SD_C = 0.5


@dataclass(frozen=True)
class Fit:
    """The parameters at which the criterion is smallest, and what goes with them.

    - `course`: spreads within stays; `sds`: name -> sd of each factor, °C; `rho`: months' correlation.
    - `sums`, `at`: everything at these spreads, a ward's months as independent parts ``u = L w``.
    - `covariance` float64[places, places] of the parameters by place (0 where held); `passes` over the readings.
    """

    model: Model
    theta: Floats
    course: Course
    sds: dict[str, float]
    rho: float
    sums: Sums
    at: Solved
    covariance: Floats
    passes: int
    left: float
    outcome: Outcome

    @property
    def criterion(self) -> float:
        """-2 log REML."""
        return self.at.criterion

    @property
    def u(self) -> Floats:
        """The effects themselves, float64[q], °C."""
        made = self.at.u.copy()
        for name, root in self.model.random.roots(self.rho).items():
            part = self.model.columns.slices()[name]
            made[part] = root @ made[part]
        return made

    def sd(self, name: str) -> float | None:
        """The sd of a factor, °C; None where the model has no such factor."""
        return self.sds.get(name)

    def slope_sd(self) -> Floats:
        """Standard error of each site's slope, float64[S]; 0 where it is held."""
        moved = self.model.moved
        return np.sqrt(np.diag(self.covariance)[moved.stay_places - moved.sites : moved.stay_places])


def fit(
    model: Model, start: Floats | None = None, *, close: float = SETTLED, rho: float | None = None
) -> Fit:
    """Fit the model by REML from `start` (theta by place); `rho` is chosen where it is not given.

    Raises numpy.linalg.LinAlgError where fixed columns are dependent.
    """
    theta = model.start() if start is None else start
    passes = 0
    if start is None and len(model.columns) > SAMPLE_ABOVE:
        few = Surface(model.columns.every(SAMPLE_EVERY), model.moved, model.random.roots(rho or RHO))
        theta = descend(few, theta, ROUGHLY).point.theta
    kept = RHO if rho is None else rho
    surface = Surface(model.columns, model.moved, model.random.roots(kept))
    found = descend(surface, theta, close)
    passes += found.passes
    if rho is None and model.random.periods:
        chosen, theta = settled_rho(model, found.point.theta, kept)
        if chosen != kept:
            kept = chosen
            surface = Surface(model.columns, model.moved, model.random.roots(kept))
            found = descend(surface, theta, close)
            passes += found.passes
    doubted = surface if close <= SETTLED and len(model.held.slopes) else None
    return _fitted(model, found, doubted, kept, passes)


def settled_rho(model: Model, theta: Floats, before: float) -> tuple[float, Floats]:
    """The rho of `RHOS` with the lowest criterion, each with its own sd of months, all else as it stands."""
    at, sds = model.moved.spreads(theta)
    part = model.columns.slices()["month"]
    place = model.names().index("month")
    plain = sums(model.columns, at)
    away = np.ones(len(plain.zz), bool)
    away[part] = False
    small = eliminated(plain, away, sds[_of(model)])
    length = model.random.periods
    wards = (part.stop - part.start) // length
    best = (np.inf, before, sds[place])
    for rho in RHOS:
        turned = small.turned(slice(0, len(small.zz)), chains_root(wards, length, rho))
        got = minimize_scalar(
            lambda sd, t=turned: criterion(t, np.full(len(t.zz), sd)),
            bounds=(0.0, MOST_MONTH_SD_C),
            method="bounded",
            options={"xatol": 1e-3},
        )
        best = min(best, (float(got.fun), rho, float(got.x)))
    made = theta.copy()
    made[model.moved.stay_places + place] = best[2] ** 2
    return best[1], made


def _of(model: Model) -> "np.typing.NDArray[np.int64]":
    levels = [part.stop - part.start for part in model.columns.slices().values()]
    return np.repeat(np.arange(len(levels)), levels).astype(np.int64)


def _fitted(model: Model, found: Descent, surface: Surface | None, rho: float, passes: int) -> Fit:
    at, sds = model.moved.spreads(found.point.theta)
    named = {name: float(sd) for name, sd in zip(model.names(), sds, strict=True)}
    return Fit(
        model=model,
        theta=found.point.theta,
        course=at,
        sds=named,
        rho=rho,
        sums=found.point.sums,
        at=found.point.at,
        covariance=_covariance(model, found, surface),
        passes=passes,
        left=found.left,
        outcome=found.outcome,
    )


def _covariance(model: Model, found: Descent, surface: Surface | None) -> Floats:
    """``H^-1 M H^-1`` by place; tied places move together, held ones not at all.

    H is the curvature of -2 log REML and M = 2 H where the model is right. Between parameters of the stays M is
    ``sum_e s_e s_e'`` of the stays' own slopes instead: a fever is not a Gaussian course, and a course that comes and
    goes tells less of a site's slope than its curvature says (Liang & Zeger 1986, as in clusters.py). Without `surface`
    M stays 2 H: enough where no slope is estimated, or while looking for changes.
    """
    moved = model.moved
    values, vectors = np.linalg.eigh(found.curvature)
    inverse = (vectors / np.maximum(values, 1e-9)) @ vectors.T
    middle = 2.0 * found.curvature
    of_stays = np.zeros(moved.count, bool)
    of_stays[moved.tied[: moved.stay_places][moved.tied[: moved.stay_places] >= 0]] = True
    if surface is not None:
        both = np.ix_(of_stays, of_stays)
        middle[both] = surface.doubted(found.point)[both]
    small = inverse @ middle @ inverse
    fold = np.zeros((len(moved.tied), moved.count))
    here = np.flatnonzero(moved.tied >= 0)
    fold[here, moved.tied[here]] = 1.0
    return np.asarray(fold @ small @ fold.T)
