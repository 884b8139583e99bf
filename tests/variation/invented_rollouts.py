"""Invented roll-outs of teaching: the readings of one person in one month stand together as one cell.

A cell's mean of n readings has variance sd_reading^2 / n, so that V is diagonal and the sums are plain products.
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.stays.cross_products import Sums
from browline.variation.training.exposure import exposure, home_wards, starts
from browline.variation.training.terms import (
    Charted,
    base_terms,
    fixed_columns,
    null_columns,
    response_terms,
)


@dataclass(frozen=True)
class Shape:
    """The size of a hospital and its true spreads in °C.

    People follow their ward within `uptake` months; the last ward starts `last` months before the end, if at all.
    """

    wards: int
    months: int
    people: int = 5
    readings: float = 60.0
    ward: float = 0.08
    person: float = 0.08
    instrument: float = 0.08
    ward_month: float = 0.05
    rho: float = 0.7
    person_response: float = 0.05
    ward_response: float = 0.03
    reading: float = 0.45
    selection: float = 0.5
    never: float = 0.1
    uptake: float = 3.0
    last: float = 2.0


@dataclass(frozen=True)
class Hospital:
    """Cells: `y` °C from 37, `n` readings, what was charted, `time` in months; `signed_off` by person."""

    shape: Shape
    y: np.ndarray
    n: np.ndarray
    charted: Charted
    time: np.ndarray
    signed_off: np.ndarray
    acted_on: np.ndarray

    @property
    def exposed(self):
        return exposure(self.charted.person, self.time, self.acted_on, self.signed_off)

    @property
    def home(self):
        return home_wards(self.charted.person, self.charted.ward, len(self.signed_off), self.shape.wards)

    @property
    def starts(self):
        return starts(self.signed_off, self.home, self.shape.wards)


def hospital(shape, effect, rng):
    """One hospital in which sign-off raises the readings by `effect` °C on average over people and wards."""
    s = shape
    size = np.maximum(2, rng.poisson(s.people * rng.uniform(0.6, 1.4, s.wards)))
    home = np.repeat(np.arange(s.wards), size)
    person, month = (a.ravel() for a in np.meshgrid(np.arange(len(home)), np.arange(s.months), indexing="ij"))
    charting = rng.uniform(0.4, 1.6, s.wards)[home]
    n = rng.poisson(s.readings * charting[person])
    person, month, n = person[n > 0], month[n > 0], n[n > 0].astype(float)
    ward, base = home[person], s.person * rng.standard_normal(len(home))
    signed_off = sign_offs(s, home, base, rng)
    trained = month + 0.5 > signed_off[person]
    instrument = ward * 3 + rng.integers(0, 3, len(person))
    course = drifts(s, rng)
    y = (
        0.1 * np.sin(month / 2)
        + s.ward * rng.standard_normal(s.wards)[ward]
        + base[person]
        + s.instrument * rng.standard_normal(3 * s.wards)[instrument]
        + course[ward, month]
        + s.reading * rng.standard_normal(len(person)) / np.sqrt(n)
    )
    answer = effect + s.person_response * rng.standard_normal(len(home))[person]
    answer = answer + s.ward_response * rng.standard_normal(s.wards)[ward]
    charted = Charted(person, ward, instrument, month)
    return Hospital(s, y + trained * answer, n, charted, month + 0.5, signed_off, np.ones(len(y), bool))


def sign_offs(s, home, base, rng):
    """Wards start in random order, evenly; people follow, low readers sooner, some never.

    What is yet to come is not known.
    """
    began = rng.permutation(np.linspace(1.0, s.months - s.last, s.wards)) + rng.uniform(-0.2, 0.2, s.wards)
    made = np.full(len(home), np.inf)
    for w in range(s.wards):
        own = np.flatnonzero(home == w)
        keen = s.selection * base[own] / max(s.person, 1e-9) + rng.standard_normal(len(own))
        after = np.sort(rng.uniform(0, s.uptake, len(own)))
        after[0] = 0
        made[own[np.argsort(keen)]] = began[w] + after
        late = (rng.random(len(own)) < s.never) & (made[own] > began[w])
        made[own[late]] = np.inf
    return np.where(made < s.months, made, np.inf)


def drifts(s, rng):
    """float[wards, months], AR(1) with sd `ward_month`."""
    z = rng.standard_normal((s.wards, s.months))
    for m in range(1, s.months):
        z[:, m] = s.rho * z[:, m - 1] + np.sqrt(1 - s.rho**2) * z[:, m]
    return s.ward_month * z


def terms_and_sums(h):
    """The terms and sums of the level fit."""
    terms = (*base_terms(h.charted), *response_terms(h.charted, h.exposed.trained))
    return terms, sums_of(h, terms, fixed_columns(h.charted, h.exposed, h.acted_on))


def sums_of(h, terms, x):
    """Sums of cells with V = sd_reading^2 / n."""
    weight = h.n / h.shape.reading**2
    z = np.zeros((len(h.y), sum(t.levels for t in terms)))
    at = 0
    for t in terms:
        has = t.codes >= 0
        z[np.flatnonzero(has), at + t.codes[has]] = 1.0
        at += t.levels
    c = np.column_stack([x, h.y])
    zw = z.T * weight
    return Sums(len(h.y), zw @ z, zw @ c, (c.T * weight) @ c, -float(np.log(weight).sum()))


def null_residual(h):
    """r = P y by cell, of the fit that does not know who was signed off: V_total^-1 (y - X beta)."""
    from browline.variation.training.spreads import mode, running, runs_root

    terms, x = base_terms(h.charted), null_columns(h.charted, h.exposed)
    sums = sums_of(h, terms, x)
    found = mode(sums, terms)
    e = h.y - x @ found.solution.beta
    at = 0
    for k, t in enumerate(terms):
        u = found.solution.u[at : at + t.levels]
        if k == running(terms):
            u = runs_root(t, found.rho) @ u
        e = e - np.where(t.codes >= 0, u[t.codes], 0.0)
        at += t.levels
    return e * h.n / h.shape.reading**2
