"""Downhill on the criterion: second-order steps, halved until it falls, variances kept at or above 0.

A variance that would fall below 0 stops at exactly 0, and is let go again only where the surface falls away from
there: a fit on the boundary ends on it and is named so.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.likelihood import Point, Surface
from browline.variation.outcome import Outcome

CLOSE, CLOSE_ENOUGH = 1e-9, 1e-3
STEPS, HALVINGS = 60, 25
LONGEST_STEP = 1.0
NOTHING = 1e-10


@dataclass(frozen=True)
class Descent:
    """Where the fit ended.

    - `point`; `curvature` float64[k, k] of the criterion by the moved numbers, for their standard errors.
    - `left`: what one more step would gain; `outcome`: how it ended; `passes` over the readings.
    """

    point: Point
    curvature: Floats
    left: float
    outcome: Outcome
    passes: int


def descend(surface: Surface, theta: Floats, close: float = CLOSE, steps: int = STEPS) -> Descent:
    """Walk down from `theta` until one more step would gain no more than `close`.

    Raises numpy.linalg.LinAlgError where fixed columns are dependent.
    """
    point = surface.at(theta)
    for _ in range(steps):
        slopes, curvature = surface.bent(point)
        move, left = newton(surface, point, slopes, curvature)
        lower = None if left <= close else _lower(surface, point, move)
        if lower is None:
            break
        point = lower
    return Descent(
        point=point,
        curvature=curvature,
        left=left,
        outcome=_outcome(surface, point, left),
        passes=surface.passes,
    )


def newton(surface: Surface, point: Point, slopes: Floats, curvature: Floats) -> tuple[Floats, float]:
    """The step of the numbers not held at a bound, and what it promises, ``-slopes'step``."""
    moved = surface.moved
    free = _free(surface, point, slopes)
    move = np.zeros(moved.count)
    if not free.any():
        return move, 0.0
    gradient, h = slopes[free], curvature[np.ix_(free, free)]
    scale = 1.0 / np.sqrt(np.maximum(np.diag(h), 1e-100))
    values, vectors = np.linalg.eigh(scale[:, None] * h * scale)
    move[free] = -scale * (vectors @ (vectors.T @ (scale * gradient) / np.maximum(values, 1e-6)))
    left = float(-move @ slopes)
    return _shortened(surface, move), left


def _free(surface: Surface, point: Point, slopes: Floats) -> "np.typing.NDArray[np.bool_]":
    """Which moved numbers can move: not at a bound that the surface pushes them against."""
    moved = surface.moved
    where, least, most = (
        _by_number(moved.tied, v, moved.count) for v in (point.theta, moved.least(), moved.most())
    )
    return ~((where <= least) & (slopes >= 0)) & ~((where >= most) & (slopes <= 0))


def _by_number(tied: Codes, by_place: Floats, count: int) -> Floats:
    """One place's value for every moved number."""
    made = np.zeros(count)
    made[tied[tied >= 0]] = by_place[tied >= 0]
    return made


def _shortened(surface: Surface, move: Floats) -> Floats:
    """The step with no time constant changed by more than a factor e at once."""
    moved = surface.moved
    hours = moved.tied[2 : 3 * moved.groups : 3]
    far = max((abs(float(move[k])) for k in hours if k >= 0), default=0.0)
    return move if far <= LONGEST_STEP else move * (LONGEST_STEP / far)


def _lower(surface: Surface, point: Point, move: Floats) -> Point | None:
    """The first point along the step, halved as needed, that is lower; None where there is none."""
    noise = 1e-11 * max(abs(point.at.criterion), 1.0)
    for halving in range(HALVINGS):
        theta = surface.moved.step(point.theta, move * 0.5**halving)
        if np.array_equal(theta, point.theta):
            return None
        try:
            tried = surface.at(theta)
        except np.linalg.LinAlgError:
            continue
        if tried.at.criterion <= point.at.criterion + noise:
            return tried
    return None


def _outcome(surface: Surface, point: Point, left: float) -> Outcome:
    moved = surface.moved
    if left > CLOSE_ENOUGH:
        return Outcome.STEPS
    variances = np.ones(len(point.theta), bool)
    variances[2 : 3 * moved.groups : 3] = False
    variances[moved.stay_places - moved.sites : moved.stay_places] = False
    variances &= moved.tied >= 0
    if variances.any() and (point.theta <= np.maximum(moved.least(), NOTHING))[variances].all():
        return Outcome.NOT_IDENTIFIED  # Nothing varies.
    at_zero = (point.theta <= NOTHING) & variances
    return Outcome.BOUNDARY if at_zero.any() else Outcome.CONVERGED
