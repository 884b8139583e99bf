"""Fit by REML: quasi-Newton steps on the relative standard deviations, bounded below by 0.

Working in standard deviations makes the criterion smooth across 0, so that a fit on the boundary is reached
from inside; it is then set to exactly 0 where that is no worse, and checked for a pull away from 0.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.optimize import minimize

from browline.variation.criterion import Solved, factor_gradient, nest_gradient, pull_from_zero, solved
from browline.variation.design import Codes, Design, Floats
from browline.variation.sums import Block, Sums, blocks, sums

START = 0.5
LARGEST = 1e3
STEPS = 200
SLOPE = 1e-7


class Outcome(StrEnum):
    """How a fit ended: the closed list. Each has a sentence with advice in `advice`."""

    CONVERGED = "converged"
    BOUNDARY = "on-the-boundary"
    NOT_IDENTIFIED = "not-identified"
    STEPS = "ran-out-of-steps"
    TOO_FEW = "too-few-readings"

    @property
    def usable(self) -> bool:
        """Whether estimates may be shown."""
        return self in (Outcome.CONVERGED, Outcome.BOUNDARY)


@dataclass(frozen=True)
class Fit:
    """The parameters at which the criterion is smallest, and what goes with them.

    - `names`: the random terms, nest first; `tau` float64: their sds over sigma; `at`: everything solved there.
    - `n` readings, `p` fixed columns, `passes` over the readings; `slope`: largest scaled gradient left.
    """

    names: tuple[str, ...]
    tau: Floats
    at: Solved
    n: int
    p: int
    passes: int
    slope: float
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


class Evaluator:
    """Criterion and gradient by tau; keeps the last evaluation, for a step may ask for the same point twice."""

    def __init__(self, design: Design, folded: Sequence[Block]) -> None:
        self.folded, self.nest, self.factors = folded, len(design.nest), len(design.factors)
        self.of: Codes = np.repeat(np.arange(self.factors), [f.levels for f in design.factors]).astype(np.int64)
        self.passes = 0
        self._sums: tuple[Floats, Sums] | None = None

    def sums(self, tau: Floats) -> Sums:
        """The sums at these nest parameters, from the last pass where it was at the same ones."""
        theta = np.asarray(tau[: self.nest] ** 2)
        if self._sums is None or not np.array_equal(self._sums[0], theta):
            self.passes += 1
            self._sums = (theta, sums(self.folded, theta))
        return self._sums[1]

    def solve(self, tau: Floats) -> Solved:
        """The mixed-model equations at `tau`."""
        return solved(self.sums(tau), tau[self.nest :][self.of])

    def value_and_gradient(self, tau: Floats) -> tuple[float, Floats]:
        """-2 log REML and its derivative by every tau."""
        at = self.solve(tau)
        by_nest = 2 * tau[: self.nest] * nest_gradient(self.sums(tau), at)
        return at.criterion, np.concatenate([by_nest, factor_gradient(at, tau[self.nest :], self.of)])

    def pull(self, tau: Floats) -> Floats:
        """Derivative by every variance, which tells whether a term at 0 ought to leave it."""
        at = self.solve(tau)
        by_factor = pull_from_zero(self.sums(tau), at, self.of, self.factors)
        return np.concatenate([nest_gradient(self.sums(tau), at), by_factor])


def fit(
    design: Design, start: Floats | None = None, steps: int = STEPS, each: Callable[[int], None] | None = None
) -> Fit:
    """Fit the design by REML from `start` (relative sds); `each` is told the passes so far.

    Raises numpy.linalg.LinAlgError where fixed columns are dependent or the readings have no spread.
    """
    evaluator = Evaluator(design, blocks(design))
    tau = np.full(len(design.names), START) if start is None else np.maximum(start, 0.02)
    tau, ended = _descend(evaluator, tau, steps, each)
    tau, again = _settle_zeros(evaluator, tau)
    if again:
        tau, ended = _descend(evaluator, tau, steps, each)
        tau, _ = _settle_zeros(evaluator, tau)
    return _finished(design, evaluator, tau, ended)


def _descend(
    evaluator: Evaluator, tau: Floats, steps: int, each: Callable[[int], None] | None
) -> tuple[Floats, bool]:
    """Quasi-Newton steps within the bounds; whether they ended by themselves."""
    if not len(tau):
        return tau, True

    def told(t: Floats) -> tuple[float, Floats]:
        if each:
            each(evaluator.passes)
        value, gradient = evaluator.value_and_gradient(t)
        return value, gradient

    options = {"maxiter": steps, "ftol": 1e-13, "gtol": SLOPE, "maxls": 30}
    found = minimize(told, tau, jac=True, method="L-BFGS-B", bounds=[(0, LARGEST)] * len(tau), options=options)
    return found.x, bool(found.nit < steps)


def _settle_zeros(evaluator: Evaluator, tau: Floats) -> tuple[Floats, bool]:
    """Terms next to 0 put at 0 where that is no worse; whether one at 0 is pulled away from it."""
    best = evaluator.solve(tau).criterion if len(tau) else 0.0
    for k in np.flatnonzero((tau > 0) & (tau < 0.01)):
        tried = tau.copy()
        tried[k] = 0.0
        value = evaluator.solve(tried).criterion
        if value <= best + 1e-7:
            tau, best = tried, value
    pulled = (tau == 0) & (evaluator.pull(tau) < -1e-6) if len(tau) else np.zeros(0, bool)
    return np.where(pulled, 0.05, tau), bool(pulled.any())


def _finished(design: Design, evaluator: Evaluator, tau: Floats, ended: bool) -> Fit:
    at = evaluator.solve(tau)
    slope = float(np.abs(evaluator.value_and_gradient(tau)[1]).max(initial=0.0))
    if (tau >= LARGEST).any():
        outcome = Outcome.NOT_IDENTIFIED
    elif not ended:
        outcome = Outcome.STEPS
    else:
        outcome = Outcome.BOUNDARY if (tau == 0).any() else Outcome.CONVERGED
    n, p = len(design.y), design.x.shape[1]
    return Fit(design.names, tau, at, n, p, evaluator.passes, slope, outcome)
