"""The effects' spreads at fixed sums: the mode of their posterior, by Fisher's scoring.

Every kind i of effects is u_i = sd_i L_i w with w ~ N(0, I) and R_i = L_i L_i'. With A = I - cov(w | y), the
posterior covariance of w taken off the prior's, and t_i = log sd_i, or the logit of rho,

    d(-2 log REML) / dt_i = tr(D_i A) - w' D_i w,    information = tr(D_i A D_j A)
    D_i = 2 I over kind i for log sd,    D_i = (drho / dt) L^-1 (dR / drho) L'^-1 for rho

to which the priors add: half-normal on sd, uniform on rho, both taken in t, so that no spread ends at nought.
Source: Harville 1977, J Am Stat Assoc 72:320 (from memory); the form in w is ours, checked in the tests.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.effects.ar1 import ar1_block_root, ar1_root
from browline.variation.effects.solved import Solved, solved
from browline.variation.stays.cross_products import Sums
from browline.variation.training.terms import Term, places

STEPS, SMALL_STEP, LONGEST_STEP = 25, 0.03, 1.5
FLOOR = 0.5
HIGHEST_RHO = 0.999


class Convergence(StrEnum):
    """How the search for the mode ended."""

    CONVERGED = "converged"
    STEPS = "ran-out-of-steps"


@dataclass(frozen=True)
class Mode:
    """The most probable spreads.

    - `t` float64[k]: log sd of every term, °C, then the logit of rho where a term runs in time.
    - `information` float64[k, k]: of -2 log posterior in t. `outcome`: whether the steps had become small.
    - `at`: the equations solved there, effects turned (`sums`); `steps` taken.
    """

    terms: tuple[Term, ...]
    t: Floats
    information: Floats
    sums: Sums
    solution: Solved
    steps: int
    outcome: Convergence

    @property
    def rho(self) -> float | None:
        """Correlation of a run's neighbours, None where no term runs in time."""
        return None if len(self.t) == len(self.terms) else correlation(self.t[-1])

    def sd_c(self, name: str) -> float:
        """The sd of a kind of effects, °C."""
        return float(np.exp(self.t[[term.name for term in self.terms].index(name)]))


def mode(sums: Sums, terms: Sequence[Term], start_c: Sequence[float] | None = None) -> Mode:
    """The mode, from `start_c` (an sd for every term) or from half of every prior's scale.

    At most one term may run in time. Raises numpy.linalg.LinAlgError where fixed columns are not independent.
    """
    terms = tuple(terms)
    sds = [term.scale_c / 2 for term in terms] if start_c is None else start_c
    t = np.log(np.maximum(sds, 1e-4))
    if running(terms) is not None:
        t = np.append(t, 0.0)
    reparametrised, solution = sums_and_solution(sums, terms, t)
    value = solution.criterion + penalty(terms, t)
    for step in range(1, STEPS + 1):
        slope, information = _derivatives(terms, t, solution)
        move = -np.linalg.solve(information + FLOOR * np.eye(len(t)), slope)
        wanted = float(np.abs(move).max())
        move *= min(1.0, LONGEST_STEP / wanted)
        for _ in range(8):
            tried, next_solution = sums_and_solution(sums, terms, t + move)
            reached = next_solution.criterion + penalty(terms, t + move)
            if reached <= value + 1e-6:
                break
            move /= 3
        t, reparametrised, solution, value = t + move, tried, next_solution, reached
        if wanted < SMALL_STEP:
            return Mode(
                terms=terms,
                t=t,
                information=_derivatives(terms, t, solution)[1],
                sums=reparametrised,
                solution=solution,
                steps=step,
                outcome=Convergence.CONVERGED,
            )
    return Mode(
        terms=terms,
        t=t,
        information=_derivatives(terms, t, solution)[1],
        sums=reparametrised,
        solution=solution,
        steps=STEPS,
        outcome=Convergence.STEPS,
    )


def running(terms: Sequence[Term]) -> int | None:
    """Which term runs in time, None where none does."""
    return next((k for k, term in enumerate(terms) if term.run > 1), None)


def sums_and_solution(sums: Sums, terms: Sequence[Term], t: Floats) -> tuple[Sums, Solved]:
    """The sums with the running term turned, and their equations solved, at `t`."""
    k = running(terms)
    if k is not None:
        sums = sums.reparametrised(places(terms)[k], runs_root(terms[k], correlation(t[-1])))
    return sums, solved(sums, np.repeat(np.exp(t[: len(terms)]), [term.levels for term in terms]))


def penalty(terms: Sequence[Term], t: Floats) -> float:
    """-2 log prior in t: half-normal sds ``exp(2t) / scale^2 - 2t``, uniform rho ``-2 log s (1 - s)``, s = expit t."""
    sd = t[: len(terms)]
    scale = np.array([term.scale_c for term in terms])
    total = float((np.exp(2 * sd) / scale**2 - 2 * sd).sum())
    half = _expit(t[-1])
    return total if len(t) == len(terms) else total - 2 * float(np.log(half * (1 - half)))


def runs_root(term: Term, rho: float) -> Floats:
    """Lower factor of AR(1) within runs, float64[levels, levels], ``R = rho^|i - j|`` within a run.

    >>> runs_root(Term("m", np.zeros(1, int), 2, 1.0, run=2), 0.6).tolist()
    [[1.0, 0.0], [0.6, 0.8]]
    """
    return ar1_block_root(term.levels // term.run, term.run, rho)


def _ar_change(n: int, rho: float) -> Floats:
    """``L^-1 (dR / drho) L'^-1`` of one run."""
    apart = np.abs(np.subtract.outer(np.arange(n), np.arange(n)))
    change = apart * rho ** np.maximum(apart - 1, 0)
    half = np.linalg.solve(ar1_root(n, rho), change)
    return np.asarray(np.linalg.solve(ar1_root(n, rho), half.T))


def _derivatives(terms: tuple[Term, ...], t: Floats, solution: Solved) -> tuple[Floats, Floats]:
    """Slope and expected information of -2 log posterior in t."""
    w = solution.u / solution.sd
    q = len(w)
    a = np.eye(q) - solution.covariance[:q, :q] / np.outer(solution.sd, solution.sd)
    parts, k = places(terms), len(t)
    slope, information = np.zeros(k), np.zeros((k, k))
    for i, part in enumerate(parts):
        slope[i] = 2 * float(np.trace(a[part, part]) - w[part] @ w[part])
        for j in range(i + 1):
            block = a[part, parts[j]]
            information[i, j] = information[j, i] = 4 * float(np.einsum("ij,ij->", block, block))
    if k > len(terms):
        _add_rho(terms, float(t[-1]), w, a, slope, information)
    return _with_prior(terms, t, slope, information)


def _add_rho(
    terms: tuple[Term, ...], logit: float, w: Floats, a: Floats, slope: Floats, information: Floats
) -> None:
    """Fill the last row, of the logit of rho."""
    k = running(terms)
    assert k is not None
    parts, run = places(terms), terms[k].run
    d = HIGHEST_RHO * _expit(logit) * _expit(-logit) * _ar_change(run, correlation(logit))
    part = parts[k]
    by_run = w[part].reshape(-1, run)
    da = (d @ a[part].reshape(-1, run, a.shape[1])).reshape(-1, a.shape[1])
    slope[-1] = float(np.trace(da[:, part]) - np.einsum("ri,ij,rj->", by_run, d, by_run))
    for j, other_part in enumerate(parts):
        cross = 2 * float(np.einsum("ij,ij->", da[:, other_part], a[part, other_part]))
        information[-1, j] = information[j, -1] = cross
    block = da[:, part]
    information[-1, -1] = float(np.einsum("ij,ji->", block, block))


def _with_prior(
    terms: tuple[Term, ...], t: Floats, slope: Floats, information: Floats
) -> tuple[Floats, Floats]:
    k = len(terms)
    pull = 2 * np.exp(2 * t[:k]) / np.array([term.scale_c for term in terms]) ** 2
    slope[:k] += pull - 2
    information[np.arange(k), np.arange(k)] += 2 * pull
    if len(t) > k:
        half = _expit(t[-1])
        slope[-1] -= 2 * (1 - 2 * half)
        information[-1, -1] += 4 * half * (1 - half)
    return slope, information


def correlation(logit: float) -> float:
    """rho of its logit, kept off 1 by a thousandth so that the runs' covariance can be factored."""
    return HIGHEST_RHO * _expit(logit)


def _expit(t: float) -> float:
    return float(1 / (1 + np.exp(-t)))
