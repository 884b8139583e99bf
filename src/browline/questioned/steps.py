"""Which step is worth most: the expected fall in the loss of deciding, summed over what the step may read.

drop = (H - wait)/H (loss at that time without the reading - expected loss with it)
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from browline.questioned import transition
from browline.questioned.candidates import Candidate, candidates
from browline.questioned.decision_loss import ACTS, decided, losses
from browline.questioned.kernel import Floats, Hypotheses, move
from browline.questioned.layout import in_order
from browline.questioned.mixture import probability_over, quantile
from browline.questioned.odds import conditions, lag_sets, prepared, slips, states
from browline.questioned.problem import Problem
from browline.questioned.result import Step
from browline.questioned.timeline import ROUNDING_SD_C, Beam, Timeline, locate, table

MOST = 300
UNLIKELY = 5e-4
GRID_C = 0.1
# Readings rarer than this on either side are not looked at.
RARE = 1e-3
FEVER = ACTS.index("fever")


@dataclass(frozen=True)
class Joint:
    """What a step may read and the core then, as components float64[J]: weight, reading N(y, yy), core N(c, cc), and
    their covariance."""

    weight: Floats
    y: Floats
    yy: Floats
    c: Floats
    cc: Floats
    yc: Floats


def steps(problem: Problem, timeline: Timeline, beam: Beam) -> tuple[Step, ...]:
    """Every candidate: a core probe in place first, then by drop, barred ones last."""
    best = np.argsort(-beam.log_weight)[:MOST]
    weight = np.exp(beam.log_weight[best])
    weight = weight / weight.sum()
    options = [
        _step(problem, timeline, beam.hypotheses.select(best), weight, candidate)
        for candidate in candidates(problem)
    ]
    return tuple(sorted(options, key=lambda step: (bool(step.barred), step.kind != "core-probe", -step.drop)))


def _step(
    problem: Problem, timeline: Timeline, hypotheses: Hypotheses, weight: Floats, candidate: Candidate
) -> Step:
    _wait(problem, timeline, hypotheses, candidate.wait_minutes / 60.0)
    joint = _joint(problem, timeline, hypotheses, weight, candidate)
    grid, probability, fever, low = _after(problem, joint)
    loss = losses(fever, low, problem.costs)
    now = losses(*_without(problem, joint), problem.costs).min()
    discount = max(0.0, 1.0 - candidate.wait_minutes / problem.costs.horizon_minutes)
    acts = loss.argmin(axis=0) == FEVER
    return Step(
        kind=candidate.kind,
        site=candidate.site,
        wait_minutes=candidate.wait_minutes,
        drop=discount * max(0.0, float(now - probability @ loss.min(axis=0))),
        settles=float(probability @ decided(fever, low)),
        fever_from_c=_first(grid, acts),
        no_fever_to_c=_last(grid, ~acts),
        barred=problem.contraindications.get(candidate.site, ""),
    )


def _wait(problem: Problem, timeline: Timeline, hypotheses: Hypotheses, hours: float) -> None:
    sets = lag_sets(problem, timeline.layout.sites, timeline.layout.read)
    moved = [transition.steps(problem.priors.course, lags, np.array([hours])) for lags, _ in sets]
    move(hypotheses, np.stack([f[0] for f, _ in moved]), np.stack([q[0] for _, q in moved]))


def _joint(
    problem: Problem, timeline: Timeline, hypotheses: Hypotheses, weight: Floats, candidate: Candidate
) -> Joint:
    """The state's part of the reading, times every condition, state and slip that is likely enough."""
    site, x, p = problem.priors.sites[candidate.site], hypotheses.x, hypotheses.P
    row = _observation_row(problem, timeline, candidate)
    y = 37.0 + site.offset_c - site.slope * 37.0 + x @ row
    yc = p[:, transition.CORE] @ row
    more = _additions(problem, timeline, candidate)
    own_var = 0.0 if candidate.site in timeline.layout.sites[: timeline.layout.read] else site.own_sd_c**2
    yy = np.einsum("i,hij,j->h", row, p, row) + site.error_sd_c**2 + ROUNDING_SD_C**2 + own_var
    c, cc = x[:, transition.CORE], p[:, transition.CORE, transition.CORE]
    pairs = np.outer(weight, more[0])
    h, m = np.nonzero(pairs > UNLIKELY * pairs.max())
    probability = pairs[h, m] / pairs[h, m].sum()
    return Joint(weight=probability, y=y[h] + more[1][m], yy=yy[h] + more[2][m], c=c[h], cc=cc[h], yc=yc[h])


def _observation_row(problem: Problem, timeline: Timeline, candidate: Candidate) -> Floats:
    """float64[d]: the row by which the state enters a reading of this step."""
    layout = timeline.layout
    row = np.zeros(layout.size)
    site = layout.sites.index(candidate.site)
    row[layout.temperature(site)] = problem.priors.sites[candidate.site].slope
    if site < layout.read:
        row[layout.difference(site)] = 1.0
    if candidate.instrument is not None:
        place = locate(problem, layout, in_order(problem)[candidate.instrument])
        row[place.offset] = row[place.extra] = 1.0
    return row


def _additions(problem: Problem, timeline: Timeline, candidate: Candidate) -> Floats:
    """float64[3, m]: probability, mean and variance (°C, °C²) of what is not in the state, once the site is ready."""
    site = problem.priors.sites[candidate.site]
    kind = problem.priors.kinds[site.kind]
    parts = [table(prepared(conditions(problem, site))), table(slips(problem, site))]
    if candidate.instrument is None:
        fresh = table(states(problem, kind))
        parts.append(np.stack([fresh[0], fresh[1], fresh[2] + kind.sd_c**2]))
    log_probability, mean, var = np.zeros(1), np.zeros(1), np.zeros(1)
    for part in parts:
        log_probability = np.add.outer(log_probability, part[0]).ravel()
        mean, var = np.add.outer(mean, part[1]).ravel(), np.add.outer(var, part[2]).ravel()
    likely = log_probability > np.log(UNLIKELY)
    probability = np.exp(log_probability[likely])
    return np.stack([probability / probability.sum(), mean[likely], var[likely]])


def _after(problem: Problem, joint: Joint) -> tuple[Floats, Floats, Floats, Floats]:
    """Readings (°C) on a grid, the probability of each, and those of fever and of a low core after it, float64[g]."""
    sd = np.sqrt(joint.yy)
    ends = (quantile(joint.weight, joint.y, sd, proportion) for proportion in (RARE, 1.0 - RARE))
    first, last = (round(end / GRID_C) for end in ends)
    grid: Floats = GRID_C * np.arange(first, last + 1, dtype=np.float64)
    off = (grid[:, None] - joint.y) / sd
    density = joint.weight / sd * np.exp(-0.5 * off * off)
    total = density.sum(axis=1)
    core = joint.c + joint.yc / sd * off
    core_sd = np.sqrt(np.maximum(joint.cc - joint.yc**2 / joint.yy, 1e-12))
    fever = (density * ndtr((core - problem.fever_c) / core_sd)).sum(axis=1)
    under = (density * ndtr((problem.low_c - core) / core_sd)).sum(axis=1)
    return grid, np.asarray(total / total.sum()), np.asarray(fever / total), np.asarray(under / total)


def _without(problem: Problem, joint: Joint) -> tuple[float, float]:
    sd = np.sqrt(np.maximum(joint.cc, 1e-12))
    fever = probability_over(joint.weight, joint.c, sd, problem.fever_c)
    return fever, probability_over(joint.weight, -joint.c, sd, -problem.low_c)


def _first(grid: Floats, holds: np.ndarray) -> float | None:
    """The lowest reading from which on it always holds; None where it does not at the top, or everywhere."""
    until = np.flatnonzero(~holds)
    if not len(until) or until[-1] == len(holds) - 1:
        return None
    return float(round(grid[until[-1] + 1], 1))


def _last(grid: Floats, holds: np.ndarray) -> float | None:
    """The highest reading up to which it always holds; None where it does not at the bottom, or everywhere."""
    first = _first(-grid[::-1], holds[::-1])
    return None if first is None else -first
