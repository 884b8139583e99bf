"""Downhill on the criterion: second-order steps, halved until it falls, variances kept at or above 0.

A variance that would fall below 0 stops at exactly 0, and is let go again only where the criterion falls away from
there: a fit on the boundary ends on it and is named so.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.likelihood import Likelihood, Point
from browline.variation.outcome import Outcome

CLOSE, CLOSE_ENOUGH = 1e-9, 1e-3
STEPS, HALVINGS = 60, 25
LONGEST_STEP = 1.0
NOTHING = 1e-10


@dataclass(frozen=True)
class Optimum:
    """Where the fit ended.

    - `point`; `curvature` float64[k, k] of the criterion by the moved numbers, for their standard errors.
    - `gain`: what one more step would gain; `outcome`: how it ended; `passes` over the readings.
    """

    point: Point
    curvature: Floats
    gain: float
    outcome: Outcome
    passes: int


def optimise(likelihood: Likelihood, theta: Floats, close: float = CLOSE, steps: int = STEPS) -> Optimum:
    """Walk down from `theta` until one more step would gain no more than `close`.

    Raises numpy.linalg.LinAlgError where fixed columns are dependent.
    """
    point = likelihood.evaluate(theta)
    for _ in range(steps):
        slopes, curvature = likelihood.gradient_and_information(point)
        move, gain = newton(likelihood, point, slopes, curvature)
        lower = None if gain <= close else _lower(likelihood, point, move)
        if lower is None:
            break
        point = lower
    return Optimum(
        point=point,
        curvature=curvature,
        gain=gain,
        outcome=_outcome(likelihood, point, gain),
        passes=likelihood.passes,
    )


def newton(likelihood: Likelihood, point: Point, slopes: Floats, curvature: Floats) -> tuple[Floats, float]:
    """The step of the numbers not held at a bound, and what it promises, ``-slopes'step``."""
    parameters = likelihood.parameters
    free = _free(likelihood, point, slopes)
    move = np.zeros(parameters.count)
    if not free.any():
        return move, 0.0
    gradient, h = slopes[free], curvature[np.ix_(free, free)]
    scale = 1.0 / np.sqrt(np.maximum(np.diag(h), 1e-100))
    values, vectors = np.linalg.eigh(scale[:, None] * h * scale)
    move[free] = -scale * (vectors @ (vectors.T @ (scale * gradient) / np.maximum(values, 1e-6)))
    gain = float(-move @ slopes)
    return _shortened(likelihood, move), gain


def _free(likelihood: Likelihood, point: Point, slopes: Floats) -> "np.typing.NDArray[np.bool_]":
    """Which moved numbers can move: not at a bound that the gradient pushes them against."""
    parameters = likelihood.parameters
    where, least, most = (
        _by_number(parameters.tied, v, parameters.count)
        for v in (point.theta, parameters.least(), parameters.most())
    )
    return ~((where <= least) & (slopes >= 0)) & ~((where >= most) & (slopes <= 0))


def _by_number(tied: Codes, by_place: Floats, count: int) -> Floats:
    """One place's value for every moved number."""
    numbers = np.zeros(count)
    numbers[tied[tied >= 0]] = by_place[tied >= 0]
    return numbers


def _shortened(likelihood: Likelihood, move: Floats) -> Floats:
    """The step with no time constant changed by more than a factor e at once."""
    parameters = likelihood.parameters
    hours = parameters.tied[parameters.hours]
    far = max((abs(float(move[k])) for k in hours if k >= 0), default=0.0)
    return move if far <= LONGEST_STEP else move * (LONGEST_STEP / far)


def _lower(likelihood: Likelihood, point: Point, move: Floats) -> Point | None:
    """The first point along the step, halved as needed, that is lower; None where there is none."""
    noise = 1e-11 * max(abs(point.solution.criterion), 1.0)
    for halving in range(HALVINGS):
        theta = likelihood.parameters.step(point.theta, move * 0.5**halving)
        if np.array_equal(theta, point.theta):
            return None
        try:
            tried = likelihood.evaluate(theta)
        except np.linalg.LinAlgError:
            continue
        if tried.solution.criterion <= point.solution.criterion + noise:
            return tried
    return None


def _outcome(likelihood: Likelihood, point: Point, gain: float) -> Outcome:
    parameters = likelihood.parameters
    if gain > CLOSE_ENOUGH:
        return Outcome.STEPS
    variances = np.ones(len(point.theta), bool)
    variances[parameters.hours] = False
    variances[parameters.slopes] = False
    variances &= parameters.tied >= 0
    if variances.any() and (point.theta <= np.maximum(parameters.least(), NOTHING))[variances].all():
        return Outcome.NOT_IDENTIFIED  # Nothing varies.
    on_boundary = (point.theta <= NOTHING) & variances
    return Outcome.BOUNDARY if on_boundary.any() else Outcome.CONVERGED
