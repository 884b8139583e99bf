"""The fit: spreads by REML from a warm start, and how fast a ward's months forget.

Large sets begin where every eighth stay ends, so that few passes read everything. The months' correlation rho is
taken from a short list by the criterion at the spreads found, then the spreads are settled once more.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize_scalar

from browline.variation.arrays import Floats
from browline.variation.effects.ar1 import ar1_block_root
from browline.variation.effects.schur_complement import schur_complement
from browline.variation.effects.solved import Solved, criterion
from browline.variation.likelihood import Likelihood
from browline.variation.model import Model
from browline.variation.optimise import Optimum, optimise
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
    solution: Solved
    covariance: Floats
    passes: int
    gain: float
    outcome: Outcome

    @property
    def criterion(self) -> float:
        """-2 log REML."""
        return self.solution.criterion

    @property
    def u(self) -> Floats:
        """The effects themselves, float64[q], °C."""
        effects = self.solution.u.copy()
        for name, root in self.model.random.roots(self.rho).items():
            part = self.model.columns.slices()[name]
            effects[part] = root @ effects[part]
        return effects

    def sd(self, name: str) -> float | None:
        """The sd of a factor, °C; None where the model has no such factor."""
        return self.sds.get(name)

    def slope_sd(self) -> Floats:
        """Standard error of each site's slope, float64[S]; 0 where it is held."""
        parameters = self.model.parameters
        return np.sqrt(np.diag(self.covariance)[parameters.slopes])


def fit(
    model: Model, start: Floats | None = None, *, close: float = SETTLED, rho: float | None = None
) -> Fit:
    """Fit the model by REML from `start` (theta by place); `rho` is chosen where it is not given.

    Raises numpy.linalg.LinAlgError where fixed columns are dependent.
    """
    theta = model.start() if start is None else start
    passes = 0
    if start is None and len(model.columns) > SAMPLE_ABOVE:
        few = Likelihood(model.columns.every(SAMPLE_EVERY), model.parameters, model.random.roots(rho or RHO))
        theta = optimise(few, theta, ROUGHLY).point.theta
    chosen_rho = RHO if rho is None else rho
    likelihood = Likelihood(model.columns, model.parameters, model.random.roots(chosen_rho))
    optimum = optimise(likelihood, theta, close)
    passes += optimum.passes
    if rho is None and model.random.periods:
        chosen, theta = settled_rho(model, optimum.point.theta, chosen_rho)
        if chosen != chosen_rho:
            chosen_rho = chosen
            likelihood = Likelihood(model.columns, model.parameters, model.random.roots(chosen_rho))
            optimum = optimise(likelihood, theta, close)
            passes += optimum.passes
    for_scores = likelihood if close <= SETTLED and len(model.identifiable.slopes) else None
    return _fitted(model, optimum, for_scores, chosen_rho, passes)


def settled_rho(model: Model, theta: Floats, before: float) -> tuple[float, Floats]:
    """The rho of `RHOS` with the lowest criterion, each with its own sd of months, all else as it stands."""
    params, sds = model.parameters.spreads(theta)
    part = model.columns.slices()["month"]
    place = model.names().index("month")
    plain = sums(model.columns, params)
    away = np.ones(len(plain.zz), bool)
    away[part] = False
    small = schur_complement(plain, away, sds[_factor_index(model)])
    length = model.random.periods
    wards = (part.stop - part.start) // length
    best = (np.inf, before, sds[place])
    for rho in RHOS:
        reparametrised = small.reparametrised(slice(0, len(small.zz)), ar1_block_root(wards, length, rho))
        got = minimize_scalar(
            lambda sd, t=reparametrised: criterion(t, np.full(len(t.zz), sd)),
            bounds=(0.0, MOST_MONTH_SD_C),
            method="bounded",
            options={"xatol": 1e-3},
        )
        best = min(best, (float(got.fun), rho, float(got.x)))
    moved_theta = theta.copy()
    moved_theta[model.parameters.stay_places + place] = best[2] ** 2
    return best[1], moved_theta


def _factor_index(model: Model) -> "np.typing.NDArray[np.int64]":
    levels = [part.stop - part.start for part in model.columns.slices().values()]
    return np.repeat(np.arange(len(levels)), levels).astype(np.int64)


def _fitted(model: Model, optimum: Optimum, likelihood: Likelihood | None, rho: float, passes: int) -> Fit:
    params, sds = model.parameters.spreads(optimum.point.theta)
    named = {name: float(sd) for name, sd in zip(model.names(), sds, strict=True)}
    return Fit(
        model=model,
        theta=optimum.point.theta,
        course=params,
        sds=named,
        rho=rho,
        sums=optimum.point.sums,
        solution=optimum.point.solution,
        covariance=_covariance(model, optimum, likelihood),
        passes=passes,
        gain=optimum.gain,
        outcome=optimum.outcome,
    )


def _covariance(model: Model, optimum: Optimum, likelihood: Likelihood | None) -> Floats:
    """``H^-1 M H^-1`` by place; tied places move together, held ones not at all.

    H is the curvature of -2 log REML and M = 2 H where the model is right. Between parameters of the stays M is
    ``sum_e s_e s_e'`` of the stays' own slopes instead: a fever is not a Gaussian course, and a course that comes and
    goes tells less of a site's slope than its curvature says (Liang & Zeger 1986, as in clusters.py). Without
    `likelihood` M stays 2 H: enough where no slope is estimated, or while looking for changes.
    """
    parameters = model.parameters
    values, vectors = np.linalg.eigh(optimum.curvature)
    inverse = (vectors / np.maximum(values, 1e-9)) @ vectors.T
    middle = 2.0 * optimum.curvature
    stay_parameters = np.zeros(parameters.count, bool)
    stay_parameters[
        parameters.tied[: parameters.stay_places][parameters.tied[: parameters.stay_places] >= 0]
    ] = True
    if likelihood is not None:
        both = np.ix_(stay_parameters, stay_parameters)
        middle[both] = likelihood.score_outer_product(optimum.point)[both]
    small = inverse @ middle @ inverse
    fold = np.zeros((len(parameters.tied), parameters.count))
    free = np.flatnonzero(parameters.tied >= 0)
    fold[free, parameters.tied[free]] = 1.0
    return np.asarray(fold @ small @ fold.T)
