"""A bootstrap particle filter of the same model: draw forward, weigh by each reading's error, draw again.

Nothing is summed or conditioned in closed form; the core steps from reading to reading by its exact transition.
"""

from dataclasses import dataclass
from itertools import product

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
from following import cov_sites, rise, rise_followed

MISLEADS_C = 0.5


@dataclass(frozen=True)
class Seen:
    """What the particles say: the core now, its chances at the lines; the core at each reading, who misled."""

    now_c: float
    fever: float
    low: float
    at_c: np.ndarray
    misled: np.ndarray

    def row(self):
        """All figures in a row."""
        return np.array([self.now_c, self.fever, self.low, *self.at_c, *self.misled])


def filtered(problem, number, rng):
    """The answer of `number` particles."""
    order = oldest_first(problem)
    p = _Particles(problem, number, rng)
    core_at = np.empty((number, len(order)))
    for k, i in enumerate(order):
        reading = problem.readings[i]
        p.move_to(-reading.minutes_ago / 60)
        core_at[:, k] = p.core()
        log_w = p.log_density(reading)
        w = np.exp(log_w - log_w.max())
        chosen = _systematic(w / w.sum(), rng)
        p.keep(chosen)
        core_at = core_at[chosen]
    p.move_to(0.0)
    return _seen(problem, p.core(), core_at[:, np.argsort(order)])


def _seen(problem, core, core_at):
    y = np.array([r.value_c for r in problem.readings])
    return Seen(
        core.mean(),
        (core >= problem.fever_c).mean(),
        (core < problem.low_c).mean(),
        core_at.mean(axis=0),
        (np.abs(y - core_at) > MISLEADS_C).mean(axis=0),
    )


def _systematic(w, rng):
    """Indices drawn with chance w, by one uniform number and equal steps."""
    n = len(w)
    reach = np.cumsum(w)
    return np.minimum(np.searchsorted(reach / reach[-1], (rng.random() + np.arange(n)) / n), n - 1)


class _Particles:
    """The particles' columns, by name, and how they move and read."""

    def __init__(self, problem, number, rng):
        self.problem, self.rng, self.n = problem, rng, number
        course = problem.priors.course
        self.a, self.b, self.s = 1 / course.wander_hours, 1 / course.surge_hours, course.wander_sd_c
        self.sites = sorted({r.site for r in problem.readings})
        self.time = None
        self.column = {}
        self._draw_course(course)
        for site in self.sites:
            self._draw_site(site)
        for instrument in {instrument_of(problem, r) for r in problem.readings}:
            self._draw_instrument(instrument)

    def _choose(self, chances):
        return self.rng.choice(len(chances), self.n, p=np.array(chances) / np.sum(chances))

    def _normal(self, mean, sd):
        return mean + sd * self.rng.standard_normal(self.n)

    def _draw_course(self, course):
        table = np.array(levels(self.problem))
        kind = self._choose(table[:, 0])
        self.column["level"] = self._normal(table[kind, 1], table[kind, 2])
        on, rate = surge(self.problem)
        onset = -np.array([*course.onsets])[self.rng.integers(len(course.onsets), size=self.n)] / 60
        self.column["onset"] = onset
        self.column["speed"] = self._normal(rate, course.surge_sd_c_per_h) * (self.rng.random(self.n) < on)

    def _draw_site(self, site):
        table = np.array(lags(self.problem, site))
        self.column["lag", site] = self._choose(table[:, 1])
        self.column["own", site] = self._normal(0.0, self.problem.priors.sites[site].own_sd_c)

    def _draw_instrument(self, instrument):
        shifts = self.problem.priors.kinds[instrument[1]].states
        mean, sd = sound_offset(self.problem, instrument)
        self.column["offset", instrument] = self._normal(mean, sd) + self._sized(
            shifts, self._choose(weights(self.problem, shifts))
        )

    def _sized(self, shifts, which):
        """A size for each particle's shift; 0 where it has none."""
        mean = np.array([0.0, *(s.mean_c for s in shifts)])
        sd = np.array([0.0, *(s.sd_c for s in shifts)])
        return self._normal(mean[which], sd[which])

    def keep(self, chosen):
        """Only the chosen particles go on."""
        self.column = {name: values[chosen] for name, values in self.column.items()}

    def core(self):
        since = self.time - self.column["onset"]
        return self.column["level"] + self.column["x"] + self.column["speed"] * rise(since, self.a, self.b)

    def shown(self, site):
        """What the site has of the core, S."""
        c = (1 / np.array([hours for hours, _ in lags(self.problem, site)]))[self.column["lag", site]]
        followed = rise_followed(self.time - self.column["onset"], self.a, self.b, c)
        return self.column["level"] + self.column["y", site] + self.column["speed"] * followed

    def move_to(self, time):
        """X and what the sites have of it, to a later moment; at first they are drawn as they always are."""
        names = ["x", *(("y", site) for site in self.sites)]
        gap = np.inf if self.time is None else time - self.time
        moved = np.empty((self.n, len(names)))
        values = [range(len(lags(self.problem, site))) for site in self.sites]
        for combination in product(*values):
            who = np.all(
                [self.column["lag", s] == k for s, k in zip(self.sites, combination, strict=True)], axis=0
            )
            rates = [1 / lags(self.problem, s)[k][0] for s, k in zip(self.sites, combination, strict=True)]
            step, noise = self._transition(np.array(rates), gap)
            before = np.zeros((who.sum(), len(names)))
            if self.time is not None:
                before = np.column_stack([self.column[name][who] for name in names])
            drawn = self.rng.standard_normal((who.sum(), len(names)))
            moved[who] = before @ step.T + drawn @ noise.T
        self.column |= dict(zip(names, moved.T, strict=True))
        self.time = time

    def _transition(self, rates, gap):
        """(X, Y..) after a gap: the matrix, and a root of the covariance of what is new, P - F P F'."""
        always = _always(self.a, rates) * self.s**2
        if np.isinf(gap):
            return np.zeros_like(always), _root(always)
        step = np.diag(np.exp(-gap * np.array([self.a, *rates])))
        step[1:, 0] = rates * (np.exp(-self.a * gap) - np.exp(-rates * gap)) / (rates - self.a)
        return step, _root(always - step @ always @ step.T)

    def log_density(self, reading):
        """Of the reading in each particle, its condition and slip drawn now."""
        site = self.problem.priors.sites[reading.site]
        self._condition(reading, site)
        slips = (site.slip, self.problem.priors.gross)
        slip = self._sized(slips, self._choose(weights(self.problem, slips)))
        mean = 37 + site.offset_c + site.slope * (self.shown(reading.site) - 37)
        mean = mean + self.column["own", reading.site] + self.column["size", reading.site] + slip
        mean = mean + self.column["offset", instrument_of(self.problem, reading)]
        return -0.5 * (reading.value_c - mean) ** 2 / error_var(site)

    def _condition(self, reading, site):
        chances = weights(self.problem, site.conditions)
        chances = when_prepared(chances) if reading.prepared else chances
        size = self._sized(site.conditions, self._choose(chances))
        last = self.column.get(("read", reading.site))
        if last is not None and not reading.prepared:
            stays = np.exp(-60 * (self.time - last[0]) / self.problem.priors.stays_minutes)
            size = np.where(self.rng.random(self.n) < stays, self.column["size", reading.site], size)
        self.column["size", reading.site] = size
        self.column["read", reading.site] = np.full(self.n, self.time)


def _always(a, rates):
    """The covariance of (X, Y..) at one moment for s = 1: X follows itself at once."""
    c = np.array([1e12, *rates])
    return cov_sites(np.zeros((len(c), len(c))), a, c[:, None], c[None, :])


def _root(cov):
    """A square root of a covariance that may be singular."""
    values, vectors = np.linalg.eigh(cov)
    return vectors * np.sqrt(np.maximum(values, 0.0))
