"""Site against site from quick pairs, without the bias of selected retakes: the doubly robust pair estimate.

Of every episode's first reading at site A with value v, T says whether the next reading within 30 minutes was
taken at site B, and d is the retake less the first value. People retake what looks wrong, so the mean of d
over pairs is biased. With m(v) = E(d | v, T = 1) by spline and e(v) = P(T = 1 | v) by logistic spline,

    estimate = mean over all first readings of  m(v) + T (d - m(v)) / e(v)

is right where either m or e is, as long as the retake depends on the charted value only and some retakes are
not triggered by it. Standard error from the same terms, summed by stay.

Source: Robins, Rotnitzky & Zhao 1994, J Am Stat Assoc 89:846 (augmented inverse probability; from memory).
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.design import Codes, Floats
from browline.variation.problem import Problem
from browline.variation.result import Z95, PairEstimate
from browline.variation.splines import NaturalSpline

FEWEST_PAIRS, FEWEST_STAYS = 40, 20
RAREST, HARDLY_EVER = 0.002, 0.01
OUTCOME_KNOTS = np.array([0.05, 0.35, 0.65, 0.95])
CHANCE_KNOTS = np.array([0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99])


@dataclass(frozen=True)
class Firsts:
    """First readings at one site: `value` °C; `retaken` bool[n]; `change` °C, 0 if none; `stay`."""

    value: Floats
    retaken: "np.typing.NDArray[np.bool_]"
    change: Floats
    stay: Codes

    @property
    def pairs(self) -> int:
        """How many were retaken at the other site."""
        return int(self.retaken.sum())


def firsts(problem: Problem, first: int, retake: int) -> Firsts:
    """First readings of episodes at site `first`, with the next one of the episode where it is at `retake`."""
    if problem.stay is None or problem.episode is None:
        nothing = np.zeros(0)
        return Firsts(nothing, nothing.astype(bool), nothing, nothing.astype(np.int64))
    time, value = problem.readings.time, problem.readings.value
    order = np.lexsort(
        (problem.readings.row if len(problem.readings.row) else np.arange(len(time)), time, problem.episode)
    )
    episode, site = problem.episode[order], problem.site[order]
    opens = np.flatnonzero(np.diff(episode, prepend=-1) != 0)
    opens = opens[site[opens] == first]
    after = np.minimum(opens + 1, len(order) - 1)
    retaken = (episode[after] == episode[opens]) & (after > opens) & (site[after] == retake)
    change = np.where(retaken, value[order][after] - value[order][opens], 0.0)
    return Firsts(value[order][opens], retaken, change, problem.stay[order][opens])


def doubly_robust(given: Firsts) -> tuple[float, float] | None:
    """Mean of (retake - first) over all first readings and its standard error; None where it cannot be told.

    It cannot where pairs are few, or where readings that were retaken are of a kind that almost never is.
    """
    if given.pairs < FEWEST_PAIRS or len(np.unique(given.stay[given.retaken])) < FEWEST_STAYS:
        return None
    chance = _chance(given)
    if chance is None or float((chance < RAREST).mean()) > HARDLY_EVER:
        return None
    basis = NaturalSpline.through(given.value[given.retaken], OUTCOME_KNOTS).columns(given.value)
    coefficients = np.linalg.lstsq(basis[given.retaken], given.change[given.retaken], rcond=None)[0]
    expected = basis @ coefficients
    terms = expected + np.where(given.retaken, (given.change - expected) / chance, 0.0)
    estimate = float(terms.mean())
    by_stay = np.bincount(np.unique(given.stay, return_inverse=True)[1], terms - estimate)
    groups = len(by_stay)
    return estimate, float(np.sqrt((by_stay**2).sum() * groups / (groups - 1)) / len(terms))


def _chance(given: Firsts) -> Floats | None:
    """P(retaken | value) by logistic regression on a spline; None where it does not settle (perfect split)."""
    if given.retaken.all():
        return np.ones(len(given.value))
    basis = NaturalSpline.through(given.value, CHANCE_KNOTS).columns(given.value)
    return logistic(basis, given.retaken.astype(float))


def logistic(x: Floats, y: Floats, steps: int = 50) -> Floats | None:
    """Fitted probabilities of a logistic regression by Newton steps, halved until the likelihood rises.

    None where they do not settle, as where the columns part the outcomes perfectly.
    """
    basis = np.linalg.qr(x)[0]
    beta = basis.T @ np.full(len(y), np.log(y.mean() / (1 - y.mean())))
    for _ in range(steps):
        p = 1 / (1 + np.exp(-basis @ beta))
        information = (basis * (p * (1 - p))[:, None]).T @ basis
        slope = basis.T @ (y - p)
        step = np.linalg.lstsq(information, slope, rcond=None)[0]
        if float(slope @ step) < 1e-9:
            return np.asarray(p)
        beta = _higher(basis, y, beta, step)
    return None


def _higher(x: Floats, y: Floats, beta: Floats, step: Floats) -> Floats:
    """The first of beta + step, + step / 2, ... whose log-likelihood is no lower."""
    before = _log_likelihood(x @ beta, y)
    for halving in range(20):
        tried = beta + step * 0.5**halving
        if _log_likelihood(x @ tried, y) >= before:
            return np.asarray(tried)
    return beta


def _log_likelihood(eta: Floats, y: Floats) -> float:
    return float(y @ eta - np.logaddexp(0.0, eta).sum())


def pair_estimate(problem: Problem, site: int) -> PairEstimate | None:
    """Site against the reference from quick pairs in both orders, weighted by their precision; None for no pairs."""
    forward, back = firsts(problem, 0, site), firsts(problem, site, 0)
    n = forward.pairs + back.pairs
    if n == 0:
        return None
    found = [
        (sign * got[0], got[1])
        for sign, got in ((1, doubly_robust(forward)), (-1, doubly_robust(back)))
        if got
    ]
    if not found:
        return PairEstimate(n, None, None, None, "too few to tell")
    weight = np.array([1 / max(se, 1e-6) ** 2 for _, se in found])
    offset = float(weight @ [value for value, _ in found] / weight.sum())
    half = Z95 / float(np.sqrt(weight.sum()))
    return PairEstimate(n, offset, offset - half, offset + half, f"from {n} quick pairs within 30 minutes")
