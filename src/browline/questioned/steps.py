"""Which step is worth most: the expected fall in the loss of deciding, summed over what the step may read.

drop = (H - wait)/H (loss at that time without the reading - expected loss with it)
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from browline.questioned import transition
from browline.questioned.candidates import Candidate, candidates
from browline.questioned.decision_loss import ACTS, losses, settled
from browline.questioned.kernel import Floats, Hypotheses, move
from browline.questioned.layout import in_order
from browline.questioned.mixture import chance_over, quantile
from browline.questioned.odds import conditions, lag_sets, prepared, slips, states
from browline.questioned.problem import Problem
from browline.questioned.result import Step
from browline.questioned.timeline import ROUNDING_SD_C, Found, Timeline, place_of, table

MOST = 300
UNLIKELY = 5e-4
LATTICE_C = 0.1
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


def steps(problem: Problem, timeline: Timeline, found: Found) -> tuple[Step, ...]:
    """Every candidate: a core probe in place first, then by drop, barred ones last."""
    best = np.argsort(-found.log_weight)[:MOST]
    weight = np.exp(found.log_weight[best])
    weight = weight / weight.sum()
    told = [_step(problem, timeline, found.held.of(best), weight, one) for one in candidates(problem)]
    return tuple(sorted(told, key=lambda step: (bool(step.barred), step.kind != "core-probe", -step.drop)))


def _step(problem: Problem, timeline: Timeline, held: Hypotheses, weight: Floats, one: Candidate) -> Step:
    _wait(problem, timeline, held, one.wait_minutes / 60.0)
    joint = _joint(problem, timeline, held, weight, one)
    lattice, chance, fever, low = _after(problem, joint)
    loss = losses(fever, low, problem.costs)
    now = losses(*_without(problem, joint), problem.costs).min()
    worth = max(0.0, 1.0 - one.wait_minutes / problem.costs.horizon_minutes)
    acts = loss.argmin(axis=0) == FEVER
    return Step(
        kind=one.kind,
        site=one.site,
        wait_minutes=one.wait_minutes,
        drop=worth * max(0.0, float(now - chance @ loss.min(axis=0))),
        settles=float(chance @ settled(fever, low)),
        fever_from_c=_first(lattice, acts),
        no_fever_to_c=_last(lattice, ~acts),
        barred=problem.barred.get(one.site, ""),
    )


def _wait(problem: Problem, timeline: Timeline, held: Hypotheses, hours: float) -> None:
    sets = lag_sets(problem, timeline.layout.sites, timeline.layout.read)
    moved = [transition.steps(problem.priors.course, lags, np.array([hours])) for lags, _ in sets]
    move(held, np.stack([f[0] for f, _ in moved]), np.stack([q[0] for _, q in moved]))


def _joint(problem: Problem, timeline: Timeline, held: Hypotheses, weight: Floats, one: Candidate) -> Joint:
    """The state's part of the reading, times every condition, state and slip that is likely enough."""
    site, x, p = problem.priors.sites[one.site], held.x, held.P
    sees = _sees(problem, timeline, one)
    y = 37.0 + site.offset_c - site.slope * 37.0 + x @ sees
    yc = p[:, transition.CORE] @ sees
    more = _more(problem, timeline, one)
    own = 0.0 if one.site in timeline.layout.sites[: timeline.layout.read] else site.own_sd_c**2
    yy = np.einsum("i,hij,j->h", sees, p, sees) + site.error_sd_c**2 + ROUNDING_SD_C**2 + own
    c, cc = x[:, transition.CORE], p[:, transition.CORE, transition.CORE]
    both = np.outer(weight, more[0])
    h, m = np.nonzero(both > UNLIKELY * both.max())
    chance = both[h, m] / both[h, m].sum()
    return Joint(weight=chance, y=y[h] + more[1][m], yy=yy[h] + more[2][m], c=c[h], cc=cc[h], yc=yc[h])


def _sees(problem: Problem, timeline: Timeline, one: Candidate) -> Floats:
    """float64[d]: how a reading of this step looks at the state."""
    layout = timeline.layout
    sees = np.zeros(layout.size)
    site = layout.sites.index(one.site)
    sees[layout.shown(site)] = problem.priors.sites[one.site].slope
    if site < layout.read:
        sees[layout.own(site)] = 1.0
    if one.instrument is not None:
        place = place_of(problem, layout, in_order(problem)[one.instrument])
        sees[place.offset] = sees[place.extra] = 1.0
    return sees


def _more(problem: Problem, timeline: Timeline, one: Candidate) -> Floats:
    """float64[3, m]: chance, mean and variance of what the state does not hold, after the site was made ready."""
    site = problem.priors.sites[one.site]
    kind = problem.priors.kinds[site.kind]
    parts = [table(prepared(conditions(problem, site))), table(slips(problem, site))]
    if one.instrument is None:
        fresh = table(states(problem, kind))
        parts.append(np.stack([fresh[0], fresh[1], fresh[2] + kind.sd_c**2]))
    log_chance, mean, var = np.zeros(1), np.zeros(1), np.zeros(1)
    for part in parts:
        log_chance = np.add.outer(log_chance, part[0]).ravel()
        mean, var = np.add.outer(mean, part[1]).ravel(), np.add.outer(var, part[2]).ravel()
    likely = log_chance > np.log(UNLIKELY)
    chance = np.exp(log_chance[likely])
    return np.stack([chance / chance.sum(), mean[likely], var[likely]])


def _after(problem: Problem, joint: Joint) -> tuple[Floats, Floats, Floats, Floats]:
    """Readings on a lattice, the chance of each, and the chances of fever and of a low core after it."""
    sd = np.sqrt(joint.yy)
    ends = (quantile(joint.weight, joint.y, sd, share) for share in (RARE, 1.0 - RARE))
    first, last = (round(end / LATTICE_C) for end in ends)
    lattice: Floats = LATTICE_C * np.arange(first, last + 1, dtype=np.float64)
    off = (lattice[:, None] - joint.y) / sd
    density = joint.weight / sd * np.exp(-0.5 * off * off)
    total = density.sum(axis=1)
    core = joint.c + joint.yc / sd * off
    core_sd = np.sqrt(np.maximum(joint.cc - joint.yc**2 / joint.yy, 1e-12))
    fever = (density * ndtr((core - problem.fever_c) / core_sd)).sum(axis=1)
    under = (density * ndtr((problem.low_c - core) / core_sd)).sum(axis=1)
    return lattice, np.asarray(total / total.sum()), np.asarray(fever / total), np.asarray(under / total)


def _without(problem: Problem, joint: Joint) -> tuple[float, float]:
    sd = np.sqrt(np.maximum(joint.cc, 1e-12))
    fever = chance_over(joint.weight, joint.c, sd, problem.fever_c)
    return fever, chance_over(joint.weight, -joint.c, sd, -problem.low_c)


def _first(lattice: Floats, holds: np.ndarray) -> float | None:
    """The lowest reading from which on it always holds; None where it does not at the top, or everywhere."""
    until = np.flatnonzero(~holds)
    if not len(until) or until[-1] == len(holds) - 1:
        return None
    return float(round(lattice[until[-1] + 1], 1))


def _last(lattice: Floats, holds: np.ndarray) -> float | None:
    """The highest reading up to which it always holds; None where it does not at the bottom, or everywhere."""
    found = _first(-lattice[::-1], holds[::-1])
    return None if found is None else -found
