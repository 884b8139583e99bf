"""Made questioned readings whose truth is known: the model played forward minute by minute, many cases at a time.

Own code from docs/derivations/course.md, without any of its closed forms: what is drawn is drawn, what moves is
stepped. `worlds.py` says how a world may differ, `plans.py` what is read in it.
"""

from dataclasses import dataclass

import numpy as np
from plans import ASKED, PRIORS, SCANNED, SITES
from worlds import MODEL

from browline.questioned.problem import AGES

YES, NO = 1, 2
UNWIND_H, COARSE_H, FINE_H = 20.0, 1 / 6, 1 / 60
OLDER, INFANTS = list(AGES).index("65-up"), [0, 1]
MISLEADS_C, ROUNDED_SD_C = 0.5, 0.03
COURSE_ANSWERS = {"antipyretic": (2.0, -0.6), "warmed": (2.0, 0.8), "cooled": (2.0, -0.8)}


@dataclass(frozen=True)
class Cases:
    """What was read and what was true, °C: `value`, `core` at each reading [n, readings], `now` [n]."""

    value: np.ndarray
    core: np.ndarray
    now: np.ndarray

    @property
    def misled(self):
        """Which readings were more than half a degree off."""
        return np.abs(self.value - self.core) > MISLEADS_C


def played(plans, rng, world=MODEL, priors=PRIORS):
    """The cases of these plans in a world."""
    core, shown, now = _courses(plans, rng, world, priors)
    value = np.empty_like(core)
    added = _Misleading(plans, rng, world, priors)
    for k in range(core.shape[1]):
        site = plans.site[:, k]
        value[:, k] = added.response(site, shown[:, k]) + added.of(k)
    if world.step_c:
        value = np.round(value / world.step_c) * world.step_c
    return Cases(value, core, now)


def _courses(plans, rng, world, priors):
    """The core and what the read site has of it at each reading [n, readings], and the core now [n]."""
    course, n = priors.course, len(plans)
    level = _levels(plans, rng, world, course)
    onset, speed = _surges(plans, rng, world, course)
    used = np.unique(plans.site[plans.there])
    column = np.searchsorted(used, plans.site).clip(0, len(used) - 1)
    lag = np.stack([_lags(plans, rng, world, priors, SITES[s]) for s in used], axis=1)
    x = course.wander_sd_c * rng.standard_normal(n)
    s, d, v = np.repeat(x[:, None], len(used), axis=1), np.zeros(n), np.zeros(n)
    core, shown = np.zeros(plans.site.shape), np.zeros(plans.site.shape)
    start = int(max(plans.minutes[plans.there].max(), *course.onsets))
    for _ in range(int(UNWIND_H / COARSE_H)):
        before, x = x, _wandered(x, course, COARSE_H, rng)
        s = _followed(s, before, x, lag, COARSE_H)
    for minute in range(start, -1, -1):
        v = np.where(onset == minute, speed, v)
        for k in range(core.shape[1]):
            here = np.flatnonzero(plans.there[:, k] & (plans.minutes[:, k] == minute))
            core[here, k] = (level + x + d)[here]
            shown[here, k] = level[here] + s[here, column[here, k]]
        if minute:
            before, x = x + d, _wandered(x, course, FINE_H, rng)
            later = v * np.exp(-FINE_H / course.surge_hours)
            fade = np.exp(-FINE_H / course.wander_hours)
            d, v = fade * d + FINE_H * (v + later) / 2 * np.sqrt(fade), later
            s = _followed(s, before, x + d, lag, FINE_H)
    return core, shown, level + x + d


def _wandered(x, course, hours, rng):
    fade = np.exp(-hours / course.wander_hours)
    return fade * x + course.wander_sd_c * np.sqrt(1 - fade**2) * rng.standard_normal(len(x))


def _followed(s, before, after, lag, hours):
    """A site's part after a step in which what it follows went in a straight line."""
    behind = ((after - before) / hours)[:, None] * lag
    return after[:, None] - behind + (s - before[:, None] + behind) * np.exp(-hours / lag)


def _levels(plans, rng, world, course):
    times = [world.fevers if k.name == "fever" else 1.0 for k in course.levels]
    weight = np.array([k.weight * t for k, t in zip(course.levels, times, strict=True)])
    kind = rng.choice(len(weight), len(plans), p=weight / weight.sum())
    mean, sd = (np.array([getattr(k, key) for k in course.levels])[kind] for key in ("mean_c", "sd_c"))
    return mean + np.where(plans.age == OLDER, PRIORS.older_c, 0.0) + sd * rng.standard_normal(len(plans))


def _surges(plans, rng, world, course):
    """The minute before now at which it sets in (-1: none), and how fast."""
    said = {word: plans.answers[:, ASKED[word]] == YES for word in (*COURSE_ANSWERS, "worsening")}
    odds = course.surge_odds * world.surges * np.where(said["worsening"], 2.5, 1.0)
    rate = np.zeros(len(plans))
    for word, (times, r) in COURSE_ANSWERS.items():
        odds, rate = odds * np.where(said[word], times, 1.0), rate + np.where(said[word], r, 0.0)
    on = rng.random(len(plans)) < odds / (1 + odds)
    onset = np.array(course.onsets)[rng.integers(len(course.onsets), size=len(plans))]
    return np.where(on, onset, -1), rate + course.surge_sd_c_per_h * rng.standard_normal(len(plans))


def _lags(plans, rng, world, priors, site):
    """Hours."""
    lag = _one_of(priors.sites[site].lags, len(plans), rng)
    if site == "rectal":
        infant = _one_of(priors.infant_lags, len(plans), rng)
        lag = np.where(np.isin(plans.age, INFANTS), infant, lag)
    if world.lag_spread is not None:
        lag = lag.mean() * world.lag_times * np.exp(world.lag_spread * rng.standard_normal(len(plans)))
    return np.maximum(lag, 0.2) / 60


def _one_of(pairs, n, rng):
    minutes, weight = np.array(pairs).T
    return rng.choice(minutes, n, p=weight / weight.sum())


class _Misleading:
    """What comes on top of a site's response, reading by reading from the oldest."""

    def __init__(self, plans, rng, world, priors):
        self.plans, self.rng, self.world, self.priors, self.n = plans, rng, world, priors, len(plans)
        self.sites = [priors.sites[s] for s in SITES]
        self.own = self.noise((self.n, len(SITES))) * [s.own_sd_c * world.own for s in self.sites]
        self.size, self.last = np.zeros((self.n, len(SITES))), np.full((self.n, len(SITES)), np.nan)
        self.offset = {slot: self._instrument(slot) for slot in range(-len(SITES), 2)}
        self.shared = np.where(rng.random(self.n) < world.together, rng.random(self.n), np.nan)

    def noise(self, shape):
        """Of spread 1, with the world's tails."""
        if self.world.freedom is None:
            return self.rng.standard_normal(shape)
        f = self.world.freedom
        return self.rng.standard_t(f, shape) * np.sqrt((f - 2) / f)

    def response(self, site, shown):
        """What a site would read with nothing else on top."""
        offset, slope = (
            np.array([getattr(s, key) for s in self.sites])[site] for key in ("offset_c", "slope")
        )
        scanned = np.isin(site, [SITES.index(s) for s in SCANNED])
        bend = np.where(scanned, self.world.bend, self.world.bend / 3)
        return 37 + offset + slope * (shown - 37) - bend * (shown - 37) * np.abs(shown - 37)

    def of(self, k):
        """What the k-th reading has on top."""
        site, everyone = self.plans.site[:, k], np.arange(self.n)
        slot = np.where(self.plans.scanner[:, k] >= 0, self.plans.scanner[:, k], site - len(SITES))
        error = np.array([s.error_sd_c for s in self.sites])[site] * self.noise(self.n)
        if not self.world.step_c:
            error = error + ROUNDED_SD_C * self.noise(self.n)
        offset = np.stack([self.offset[j] for j in range(-len(SITES), 2)], axis=1)[
            everyone, slot + len(SITES)
        ]
        self._condition(k, site)
        return self.own[everyone, site] + offset + self.size[everyone, site] + self._slip(site) + error

    def _instrument(self, slot):
        """The offset of a scanner (0, 1) or of a site's own instrument (the site less their number)."""
        name = self.sites[slot].kind if slot < 0 else self.priors.sites["temporal"].kind
        kind = self.priors.kinds[name]
        which = self._choose(kind.states, self.rng.random(self.n))
        return kind.sd_c * self.world.instruments * self.noise(self.n) + self._sized(kind.states, which)

    def _odds(self, shift):
        said = self.plans.answers[:, ASKED[shift.answer]] if shift.answer else np.zeros(self.n)
        times = np.where(said == YES, self.priors.yes, np.where(said == NO, self.priors.no, 1.0))
        return shift.odds * times

    def _choose(self, shifts, uniform, prepared=None):
        """0 for none, else which shift, counted from 1."""
        odds = np.stack([np.ones(self.n), *(self._odds(s) for s in shifts)], axis=1)
        chance = odds / odds.sum(axis=1, keepdims=True)
        if prepared is not None and shifts:
            rest = 0.05 * chance[:, 1:] / chance[:, 1:].sum(axis=1, keepdims=True)
            chance = np.where(prepared[:, None], np.column_stack([np.full(self.n, 0.95), rest]), chance)
        return (uniform[:, None] > np.cumsum(chance, axis=1)[:, :-1]).sum(axis=1)

    def _sized(self, shifts, which):
        mean, sd = (np.array([0.0, *(getattr(s, key) for s in shifts)])[which] for key in ("mean_c", "sd_c"))
        return mean + sd * self.rng.standard_normal(self.n)

    def _condition(self, k, site):
        """Kept or drawn anew at the sites that are read now."""
        minutes, prepared = self.plans.minutes[:, k], self.plans.prepared[:, k]
        for s in np.unique(site[self.plans.there[:, k]]):
            here = self.plans.there[:, k] & (site == s)
            fresh = self.rng.random(self.n)
            uniform = np.where(np.isnan(self.shared) | prepared, fresh, self.shared)
            shifts = self.sites[s].conditions
            size = self._sized(shifts, self._choose(shifts, uniform, prepared))
            stays = np.exp(-(self.last[:, s] - minutes) / self.priors.stays_minutes)
            kept = (self.rng.random(self.n) < stays) & ~prepared
            self.size[here, s] = np.where(kept, self.size[:, s], size)[here]
            self.last[here, s] = minutes[here]

    def _slip(self, site):
        slip = np.zeros(self.n)
        odds = np.array([s.slip.odds for s in self.sites])[site] * self.world.slips
        gross = self.priors.gross.odds * self.world.slips
        u = self.rng.random(self.n) * (1 + odds + gross)
        mean, sd = (np.array([getattr(s.slip, key) for s in self.sites])[site] for key in ("mean_c", "sd_c"))
        slip = np.where(u > 1, mean + sd * self.rng.standard_normal(self.n), slip)
        wild = self.priors.gross.mean_c + self.priors.gross.sd_c * self.rng.standard_normal(self.n)
        return np.where(u > 1 + odds, wild, slip)
