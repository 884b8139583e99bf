"""Fit by REML: average-information steps on the variances, kept at or above 0.

Every step is one pass over the readings and one dense factor; a variance that would fall below 0 stops at
exactly 0 and is let go again only where the criterion pulls it away.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from browline.variation.criterion import Solved, average_information, factor_gradient, nest_gradient, solved
from browline.variation.design import Codes, Design, Floats
from browline.variation.outcome import Outcome
from browline.variation.sums import Block, Sums, blocks, directions, sums

START = 0.5
SMALL_START = 0.02
LARGEST = 1e6
STEPS = 100
HALVINGS = 30
CLOSE = 1e-9
CLOSE_ENOUGH = 1e-4


@dataclass(frozen=True)
class Fit:
    """The parameters at which the criterion is smallest, and what goes with them.

    - `names`: the random terms, nest first; `tau` float64: their sds over sigma; `at`: everything solved there.
    - `n` readings, `p` fixed columns, `passes` over the readings; `decrement`: what one more Newton step would gain.
    """

    names: tuple[str, ...]
    tau: Floats
    at: Solved
    n: int
    p: int
    passes: int
    decrement: float
    outcome: Outcome

    @property
    def criterion(self) -> float:
        """-2 log REML."""
        return self.at.criterion

    @property
    def sigma(self) -> float:
        """Residual sd."""
        return self.at.sigma

    def sd(self, name: str) -> float:
        """The sd of a random term; 0 where the model has no such term."""
        return float(self.tau[self.names.index(name)] * self.sigma) if name in self.names else 0.0

    def theta(self, nest: int) -> Floats:
        """Variances of the first `nest` terms over sigma^2."""
        return np.asarray(self.tau[:nest] ** 2)


@dataclass(frozen=True)
class Point:
    """One place the descent has been: `theta` (variances over sigma^2, nest first) and what holds there."""

    theta: Floats
    sums: Sums
    at: Solved
    gradient: Floats


class Surface:
    """The criterion over the variances; counts the passes over the readings."""

    def __init__(self, design: Design, folded: Sequence[Block]) -> None:
        self.folded, self.nest, self.factors = folded, len(design.nest), len(design.factors)
        levels = [f.levels for f in design.factors]
        self.of: Codes = np.repeat(np.arange(self.factors), levels).astype(np.int64)
        self.passes = 0

    def at(self, theta: Floats) -> Point:
        """Solve at `theta`: one pass over the readings, one dense factor."""
        self.passes += 1
        merged = sums(self.folded, theta[: self.nest])
        at = solved(merged, np.sqrt(theta[self.nest :])[self.of])
        by_factor = factor_gradient(merged, at, self.of, self.factors)
        return Point(theta, merged, at, np.concatenate([nest_gradient(merged, at), by_factor]))

    def curvature(self, point: Point) -> Floats:
        """Average information at the point."""
        v = point.at.residual_direction()
        nest = directions(self.folded, point.theta[: self.nest], v)
        return average_information(point.sums, point.at, self.of, self.factors, nest)


def fit(design: Design, start: Floats | None = None, *, close: float = CLOSE, steps: int = STEPS) -> Fit:
    """Fit the design by REML from `start` (relative sds).

    It has settled where one more step would lower the criterion by no more than `close`: the parameters are
    then within about ``sqrt(close)`` of their standard errors.

    Raises numpy.linalg.LinAlgError where fixed columns are dependent or the readings have no spread.
    """
    tau = np.full(len(design.names), START) if start is None else np.maximum(start, SMALL_START)
    surface = Surface(design, blocks(design))
    point, left = descend(surface, np.asarray(tau**2), close, steps)
    return _finished(design, surface, point, left)


def descend(surface: Surface, theta: Floats, close: float, steps: int) -> tuple[Point, float]:
    """Newton steps on the variances, halved until the criterion falls, kept at or above 0.

    Returns the last point and the decrement ``g' H^-1 g`` left among the free variances there.
    """
    point, left = surface.at(theta), np.inf
    for _ in range(steps):
        step, left = newton_step(point, surface.curvature(point))
        lower = None if left <= close else _lower(surface, point, step)
        if lower is None:
            break
        point = lower
    return point, left


def newton_step(point: Point, curvature: Floats) -> tuple[Floats, float]:
    """The step of the free variances (those not held at 0), and its decrement.

    Scaled to the steepest directions' own size; a direction without curvature is left to the gradient.
    """
    free = (point.theta > 0) | (point.gradient < 0)
    step = np.zeros_like(point.theta)
    if not free.any():
        return step, 0.0
    gradient, h = point.gradient[free], curvature[np.ix_(free, free)]
    scale = 1.0 / np.sqrt(np.maximum(np.diag(h), 1e-300))
    values, vectors = np.linalg.eigh(scale[:, None] * h * scale)
    along = vectors.T @ (scale * gradient) / np.maximum(values, 1e-8)
    step[free] = -scale * (vectors @ along)
    return step, float(-step @ point.gradient)


def _lower(surface: Surface, point: Point, step: Floats) -> Point | None:
    """The first point along the step, halved as needed, whose criterion is lower; None where there is none."""
    noise = 1e-11 * max(abs(point.at.criterion), 1.0)
    for halving in range(HALVINGS):
        theta = np.maximum(point.theta + step * 0.5**halving, 0.0)
        theta = np.where(theta < 1e-9, 0.0, theta)
        if np.array_equal(theta, point.theta):
            return None
        tried = surface.at(theta)
        if tried.at.criterion <= point.at.criterion + noise:
            return tried
    return None


def _finished(design: Design, surface: Surface, point: Point, left: float) -> Fit:
    if (point.theta >= LARGEST).any():
        outcome = Outcome.NOT_IDENTIFIED
    elif left > CLOSE_ENOUGH:
        outcome = Outcome.STEPS
    else:
        outcome = Outcome.BOUNDARY if (point.theta == 0).any() else Outcome.CONVERGED
    n, p = len(design.y), design.x.shape[1]
    return Fit(design.names, np.sqrt(point.theta), point.at, n, p, surface.passes, left, outcome)
