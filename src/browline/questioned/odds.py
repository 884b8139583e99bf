"""How answers and places change the prior: the odds of conditions, states, slips and courses.

An answer "yes" multiplies the odds of what it asks about by `Priors.yes`, "no" by `Priors.no`.
"""

from dataclasses import dataclass
from itertools import product
from math import log

import numpy as np
from numpy.typing import NDArray

from browline.questioned.priors import Kind, Priors, Shift, Site
from browline.questioned.problem import Problem

Floats = NDArray[np.float64]
PREPARED_NONE = 0.95
# What an answer does to a surge: (factor on its odds, °C per hour added to its rate). Our judgement, no source.
SURGES = {
    "worsening": (2.5, 0.0),
    "antipyretic": (2.0, -0.6),
    "warmed": (2.0, 0.8),
    "cooled": (2.0, -0.8),
}
INFANTS = ("under-3-months", "3-12-months")


@dataclass(frozen=True)
class Choices:
    """Alternatives of which one holds: none first (0), then each shift. float64[m] each.

    `log_probability`; `mean` (°C) and `var` (°C²) of the shift.
    """

    log_probability: Floats
    mean: Floats
    var: Floats


@dataclass(frozen=True)
class CourseChoice:
    """One course of the core: which level, onset (index, or -1: no surge), lags (index), and its log probability."""

    level: int
    onset: int
    lags: int
    log_probability: float


def conditions(problem: Problem, site: Site) -> Choices:
    """The conditions of a site as the answers leave them."""
    return _choices(problem, site.conditions)


def prepared(choices: Choices) -> Choices:
    """The same after the site was dried, uncovered and waited for."""
    if len(choices.log_probability) == 1:
        return choices
    log_odds = choices.log_probability[1:]
    log_given_any = log_odds - np.logaddexp.reduce(log_odds) + log(1.0 - PREPARED_NONE)
    return Choices(np.concatenate([[log(PREPARED_NONE)], log_given_any]), choices.mean, choices.var)


def states(problem: Problem, kind: Kind) -> Choices:
    """The states of an instrument as the answers leave them."""
    return _choices(problem, kind.states)


def slips(problem: Problem, site: Site) -> Choices:
    """The slips of one reading at a site."""
    return _choices(problem, (site.slip, problem.priors.gross))


def site_lags(problem: Problem, site: str) -> tuple[tuple[float, float], ...]:
    """(minutes, weight) of the lags of a site at this age."""
    if site == "rectal" and problem.age in INFANTS:
        return problem.priors.infant_lags
    return problem.priors.sites[site].lags


def lag_sets(problem: Problem, sites: tuple[str, ...], read: int) -> list[tuple[tuple[float, ...], float]]:
    """Every combination of lags of the first `read` sites: (hours for each site, weight).

    The others, which only a next step would use, take their likeliest lag.
    """
    lags_by_site = [site_lags(problem, site) for site in sites]
    likeliest = [((max(lags, key=lambda lag: lag[1])[0], 1.0),) for lags in lags_by_site[read:]]
    sets = product(*lags_by_site[:read], *likeliest)
    return [(tuple(m / 60.0 for m, _ in lags), float(np.prod([w for _, w in lags]))) for lags in sets]


def surge(problem: Problem) -> tuple[float, float]:
    """Odds of a surge and its mean rate (°C per hour), as the answers leave them."""
    moved = [SURGES[word] for word in SURGES if problem.answer(word) == "yes"]
    odds = problem.priors.course.surge_odds * float(np.prod([factor for factor, _ in moved]))
    return odds, sum(rate for _, rate in moved)


def courses(problem: Problem, lag_weights: list[float]) -> list[CourseChoice]:
    """Every course with its log probability; the probabilities sum to 1."""
    prior, (odds, _) = problem.priors.course, surge(problem)
    total = sum(level.weight for level in prior.levels)
    onsets = [(-1, 1.0 / (1.0 + odds))]
    onsets += (
        [(k, odds / (1.0 + odds) / len(prior.onsets)) for k in range(len(prior.onsets))] if odds > 0 else []
    )
    return [
        CourseChoice(level, onset, lags, log(prior.levels[level].weight / total * probability * weight))
        for level in range(len(prior.levels))
        for onset, probability in onsets
        for lags, weight in enumerate(lag_weights)
    ]


def _choices(problem: Problem, shifts: tuple[Shift, ...]) -> Choices:
    possible = [shift for shift in shifts if shift.odds > 0]
    odds = np.array([1.0, *(shift.odds * _factor(problem, shift.answer) for shift in possible)])
    return Choices(
        log_probability=np.log(odds / odds.sum()),
        mean=np.array([0.0, *(shift.mean_c for shift in possible)]),
        var=np.array([0.0, *(shift.sd_c**2 for shift in possible)]),
    )


def _factor(problem: Problem, answer: str) -> float:
    reply = problem.answer(answer) if answer else "unknown"
    priors: Priors = problem.priors
    return {"yes": priors.yes, "no": priors.no}.get(reply, 1.0)
