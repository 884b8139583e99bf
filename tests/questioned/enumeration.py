"""The slow, obvious twin of the room `course`: every discrete configuration, each with one dense joint Gaussian.

    p(y) = sum over (level, onset, lags) g and (conditions, states, slips) h of  w_g w_h N(y; m_g + m_h, V_g + V_h)

Of the core part the vector (C(t_1) .. C(t_n), S(t_1) .. S(t_n), C(0)) is written down from the closed forms of
`following.py`; of the rest, what each adds to each reading, and its covariance. For one to three readings.
"""

from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from asked import (
    error_var,
    instrument_of,
    lags,
    levels,
    oldest_first,
    sound_offset,
    surge,
    weights,
    when_prepared,
)
from following import cov_core, cov_site_core, cov_sites, rise, rise_followed
from scipy.optimize import brentq
from scipy.special import ndtr

MISLEADS_C = 0.5


@dataclass(frozen=True)
class Mixture:
    """A sum of normal distributions; arrays of the same length."""

    weight: np.ndarray
    mean: np.ndarray
    sd: np.ndarray

    def under(self, line):
        """The chance of being under a line."""
        return float(self.weight @ ndtr((line - self.mean) / self.sd))

    def middle(self):
        return float(self.weight @ self.mean)

    def quantile(self, chance):
        return brentq(lambda line: self.under(line) - chance, 20.0, 50.0, xtol=1e-10)


@dataclass(frozen=True)
class Exact:
    """The core now and at each reading (in the order of the problem), of each reading cause -> chance, and log p(y)."""

    now: Mixture
    at: list[Mixture]
    misled: list[float]
    causes: list[dict[str, float]]
    log_evidence: float


@dataclass(frozen=True)
class Added:
    """What is added to the readings in one configuration: weight, and by cause the mean [n] and covariance [n, n].

    `otherwise` [n]: where the condition is that the site reads otherwise for no reason asked about.
    """

    weight: float
    mean: dict[str, np.ndarray]
    cov: dict[str, np.ndarray]
    otherwise: np.ndarray


def enumerated(problem):
    """The exact answer, by enumeration."""
    order = oldest_first(problem)
    readings = [problem.readings[i] for i in order]
    added = _stacked(list(_added(problem, readings)))
    parts = [_conditioned(problem, readings, core, added) for core in _cores(problem, readings)]
    log_w = np.concatenate([p["log_w"] for p in parts])
    evidence = np.logaddexp.reduce(log_w)
    w = np.exp(log_w - evidence)
    mean, sd = (np.concatenate([p[key] for p in parts]) for key in ("mean", "sd"))
    causes = np.concatenate([p["cause"] for p in parts])
    back = np.argsort(order)
    of = [_misled(readings[i], Mixture(w, mean[:, i], sd[:, i]), causes[:, i]) for i in back]
    return Exact(
        Mixture(w, mean[:, -1], sd[:, -1]),
        *(list(column) for column in zip(*of, strict=True)),
        float(evidence),
    )


CAUSES = ("lag", "site", "condition", "state", "slip", "scatter")


def _misled(reading, core, cause):
    """The core at a reading, the chance that it misled, and by which cause."""
    beyond = ndtr((reading.value_c - MISLEADS_C - core.mean) / core.sd)
    beyond += ndtr((core.mean - reading.value_c - MISLEADS_C) / core.sd)
    each = core.weight * beyond
    return core, float(each.sum()), {name: float(each[cause == k].sum()) for k, name in enumerate(CAUSES)}


def _cores(problem, readings):
    """(weight, mean [2n+1], covariance) of C and S at the readings and C now, for each level, onset and lags."""
    course = problem.priors.course
    a, b = 1 / course.wander_hours, 1 / course.surge_hours
    t = np.array([-r.minutes_ago / 60 for r in readings])
    sites = sorted({r.site for r in readings})
    on, rate = surge(problem)
    onsets = [(1 - on, None), *((on / len(course.onsets), -m / 60) for m in course.onsets)]
    for (w_l, mean, sd), (w_u, u), chosen in product(
        levels(problem), onsets, product(*(lags(problem, s) for s in sites))
    ):
        lag = {site: hours for site, (hours, _) in zip(sites, chosen, strict=True)}
        c = np.array([1 / lag[r.site] for r in readings])
        cov = sd**2 + course.wander_sd_c**2 * _wandering(t, a, c)
        moved = np.zeros(2 * len(t) + 1)
        if u is not None:
            moved = np.concatenate([rise(t - u, a, b), rise_followed(t - u, a, b, c), [rise(0.0 - u, a, b)]])
        cov = cov + course.surge_sd_c_per_h**2 * np.outer(moved, moved)
        yield w_l * w_u * np.prod([w for _, w in chosen]), mean + rate * moved, cov


def _wandering(t, a, c):
    """The covariance of (X(t), Y(t), X(0)) for s = 1."""
    times = np.append(t, 0.0)
    gap = np.subtract.outer
    xx, yx = cov_core(gap(times, times), a), cov_site_core(gap(t, times), a, c[:, None])
    yy = cov_sites(gap(t, t), a, c[:, None], c[None, :])
    n = len(t)
    return np.block(
        [
            [xx[:n, :n], yx[:, :n].T, xx[:n, n:]],
            [yx[:, :n], yy, yx[:, n:]],
            [xx[n:, :n], yx[:, n:].T, xx[n:, n:]],
        ]
    )


def _added(problem, readings):
    """Every configuration of conditions, states and slips."""
    sites = sorted({r.site for r in readings})
    instruments = sorted({instrument_of(problem, r) for r in readings})
    paths = [list(_paths(problem, [(i, r) for i, r in enumerate(readings) if r.site == s])) for s in sites]
    states = [list(_states(problem, k)) for k in instruments]
    slips = [list(_slips(problem, r)) for r in readings]
    members = [np.array([instrument_of(problem, r) == k for r in readings], float) for k in instruments]
    n = len(readings)
    for by_site, by_instrument, by_reading in product(product(*paths), product(*states), product(*slips)):
        weight = np.prod([w for w, *_ in (*by_site, *by_instrument, *by_reading)])
        condition = np.zeros(n), np.zeros((n, n))
        otherwise = np.zeros(n, bool)
        for _, drawn in by_site:
            for shift, who in drawn:
                condition[0][who] += shift.mean_c
                condition[1][np.ix_(who, who)] += shift.sd_c**2
                otherwise[who] = shift.name == "site"
        state = (
            sum(m * on for (_, m, _), on in zip(by_instrument, members, strict=True)),
            sum(v * np.outer(on, on) for (_, _, v), on in zip(by_instrument, members, strict=True)),
        )
        slip = np.array([m for _, m, _ in by_reading]), np.diag([s**2 for _, _, s in by_reading])
        named = {"condition": condition, "state": state, "slip": slip}
        yield Added(
            weight, {k: v[0] for k, v in named.items()}, {k: v[1] for k, v in named.items()}, otherwise
        )


def _paths(problem, visits):
    """Every (chance, [(condition, which readings)]) of a site's conditions through its readings, oldest first."""
    shifts = problem.priors.sites[visits[0][1].site].conditions
    fresh = weights(problem, shifts)
    anew = [when_prepared(fresh) if r.prepared else fresh for _, r in visits]
    stays = [0.0] + [
        0.0 if r.prepared else np.exp(-(before.minutes_ago - r.minutes_ago) / problem.priors.stays_minutes)
        for (_, before), (_, r) in pairwise(visits)
    ]
    for choice in product(range(-1, len(shifts) + 1), repeat=len(visits)):
        if choice[0] == -1:
            continue
        chance, drawn = 1.0, []
        for k, ((i, _), kept) in enumerate(zip(visits, choice, strict=True)):
            chance *= stays[k] if kept < 0 else (1 - stays[k]) * anew[k][kept]
            if kept < 0:
                drawn[-1][1].append(i)
            else:
                drawn.append((kept, [i]))
        if chance > 0:
            yield chance, [(shifts[k - 1], who) for k, who in drawn if k]


def _states(problem, instrument):
    """(chance, mean, variance) of an instrument's offset with each of its states, sound first."""
    shifts = problem.priors.kinds[instrument[1]].states
    mean, sd = sound_offset(problem, instrument)
    sizes = [(0.0, 0.0), *((s.mean_c, s.sd_c) for s in shifts)]
    for w, (more, spread) in zip(weights(problem, shifts), sizes, strict=True):
        yield w, mean + more, sd**2 + spread**2


def _slips(problem, reading):
    """(chance, mean, sd) of no slip, one in technique, a gross one."""
    shifts = (problem.priors.sites[reading.site].slip, problem.priors.gross)
    sizes = [(0.0, 0.0), *((s.mean_c, s.sd_c) for s in shifts)]
    for w, (mean, sd) in zip(weights(problem, shifts), sizes, strict=True):
        if w > 0:
            yield w, mean, sd


def _stacked(added):
    """The configurations as arrays: weight [H], by cause mean [H, n] and cov [H, n, n]."""
    return (
        np.array([a.weight for a in added]),
        {k: np.array([a.mean[k] for a in added]) for k in added[0].mean},
        {k: np.array([a.cov[k] for a in added]) for k in added[0].cov},
        np.array([a.otherwise for a in added]),
    )


def _conditioned(problem, readings, core, added):
    """One core with every configuration: log weight, core mean and sd [H, n+1], leading cause [H, n]."""
    w_g, mean, cov = core
    w_h, means, covs, otherwise = added
    sites = [problem.priors.sites[r.site] for r in readings]
    n, y = len(readings), np.array([r.value_c for r in readings])
    slope, offset = (np.array([getattr(s, key) for s in sites]) for key in ("slope", "offset_c"))
    same = np.array([[p.site == q.site for q in readings] for p in readings])
    own = same * np.array([s.own_sd_c**2 for s in sites])
    error = np.diag([error_var(s) for s in sites])
    at_s = slice(n, 2 * n)
    m_y = 37 + offset + slope * (mean[at_s] - 37) + sum(means.values())
    cov_y = slope[:, None] * cov[at_s, at_s] * slope + own + error + sum(covs.values())
    solved = np.linalg.solve(cov_y, np.broadcast_to(np.eye(n), cov_y.shape))
    left = np.einsum("hij,hj->hi", solved, y - m_y)
    log_n = -0.5 * (
        np.einsum("hi,hi->h", y - m_y, left) + np.linalg.slogdet(cov_y)[1] + n * np.log(2 * np.pi)
    )
    cross = cov[:, at_s] * slope
    latent = mean + left @ cross.T
    var = np.diag(cov) - np.einsum("ai,hij,aj->ha", cross, solved, cross)
    core_post, site_post = latent[:, [*range(n), 2 * n]], latent[:, at_s]
    by_cause = {
        "lag": slope * (site_post - core_post[:, :n]),
        "site": offset + (slope - 1) * (core_post[:, :n] - 37) + left @ own,
        **{k: means[k] + np.einsum("hij,hj->hi", covs[k], left) for k in means},
        "scatter": left @ error,
    }
    towards = np.sign(y - core_post[:, :n])
    cause = np.argmax(np.stack([towards * by_cause[k] for k in CAUSES]), axis=0)
    cause[(cause == CAUSES.index("condition")) & otherwise] = CAUSES.index("site")
    with np.errstate(divide="ignore"):
        log_w = np.log(w_g) + np.log(w_h) + log_n
    return {"log_w": log_w, "mean": core_post, "sd": np.sqrt(var[:, [*range(n), 2 * n]]), "cause": cause}
