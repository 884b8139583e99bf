"""Did training work, asked of a fitted problem: the columns, the level, the order of wards, the verdict.

The spreads within stays are those of the fit; people, wards and their months get their own spreads here, where it is
known who was signed off when.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from browline.variation.arrays import Bools, Codes, Floats, independent_columns
from browline.variation.model import CENTRE
from browline.variation.problem import Problem
from browline.variation.random_factors import at_core
from browline.variation.stays.columns import Columns, Factor, columns
from browline.variation.stays.passes import sums
from browline.variation.stays.residuals import estimated, left
from browline.variation.tables import Fitted
from browline.variation.training.exposure import Exposure, compared_months, exposure, home_wards, starts
from browline.variation.training.level import Level, level
from browline.variation.training.permutation import permutation_test, timetables
from browline.variation.training.spreads import mode, running, runs_root
from browline.variation.training.terms import (
    Charted,
    Term,
    fixed_columns,
    null_columns,
    response_terms,
    standing_terms,
)
from browline.variation.training.verdict import FEW_WARDS, Evidence

SCANNED = ("temporal", "behind-ear")


@dataclass(frozen=True)
class Taught:
    """Who was signed off when they charted, in the order of the readings.

    - `charted`, `exposed`; `acted_on` bool[n]: at a site the scan acts on. `signed_off` float64[people], hours.
    - `home` int64[people]: each person's ward.
    """

    charted: Charted
    exposed: Exposure
    acted_on: Bools
    signed_off: Floats
    home: Codes


def taught(problem: Problem) -> Taught | None:
    """Who was signed off when; None where the charts name nobody, no ward, or nobody was signed off."""
    codes, names = problem.readings.codes, problem.readings.names["person"]
    if not (problem.readings.has("person") and problem.readings.has("ward") and problem.signed_off):
        return None
    acted_on = scanned(problem)
    away = at_core(problem)
    person, ward, instrument = (_at(codes[name], away) for name in ("person", "ward", "instrument"))
    charted = Charted(person, ward, codes["instrument"].astype(np.int64), months(problem.readings.time))
    signed_off = np.array([problem.signed_off.get(name, np.inf) for name in names])
    exposed = exposure(person, problem.readings.time, acted_on, signed_off)
    if not exposed.trained.any() or instrument.max(initial=-1) < 0:
        return None
    home = home_wards(np.where(acted_on, person, -1), ward, len(names), charted.wards)
    return Taught(charted=charted, exposed=exposed, acted_on=acted_on, signed_off=signed_off, home=home)


def _at(codes: "np.typing.NDArray[np.int32]", away: Bools) -> Codes:
    return np.where(away, -1, codes.astype(np.int64))


def scanned(problem: Problem) -> Bools:
    """Which readings the scan acts on: those at scanned sites, or all where no reading names one of them."""
    made = np.array([site in SCANNED for site in problem.sites], bool)[problem.site]
    return made if made.any() else ~at_core(problem)


def months(time: Floats) -> Codes:
    """The calendar month of every reading, counted from the first, UTC."""
    month = (time * 3600.0).astype("datetime64[s]").astype("datetime64[M]").astype(np.int64)
    return np.asarray(month - month.min(initial=0 if not len(month) else int(month[0])))


def evidence(problem: Problem, fitted: Fitted, who: Taught, rng: Generator) -> tuple[Evidence, "Asked"]:
    """What the verdict rests on, and the null fit that the picture and the measures are taken from."""
    standing = standing_terms(who.charted)
    null = asked(problem, fitted, who, standing, null_columns(who.charted, who.exposed))
    found = _level(problem, fitted, who, standing)
    compared = compared_months(who.exposed, who.acted_on, who.charted.month, who.charted.months)
    signed = np.unique(who.charted.person[who.exposed.trained])
    here = who.charted.ward[who.acted_on]
    wards = len(np.unique(here[here >= 0]))
    tested = permutation_test(*_orders(problem, who, null), rng) if wards < FEW_WARDS else None
    return Evidence(
        level=found,
        orders=tested,
        compared_months=int(compared.sum()),
        months=len(compared),
        wards=wards,
        people_signed_off=len(signed),
    ), null


def _level(problem: Problem, fitted: Fitted, who: Taught, standing: Sequence[Term]) -> Level | None:
    terms = (*standing, *response_terms(who.charted, who.exposed.trained))
    x = fixed_columns(who.charted, who.exposed, who.acted_on)
    made = _columns(problem, fitted, terms, x, keep_last=True)
    try:
        return level(sums(made, fitted.fit.course), terms, -1)
    except np.linalg.LinAlgError:
        return None


@dataclass(frozen=True)
class Asked:
    """A fit that does not know who was signed off, and what it leaves.

    - `e` float64[n] in the columns' order: readings less everything but people's effects, °C.
    - `pressed` float64[n] in the readings' order: ``V^-1 (y - X beta)``, V of everything, 1/°C.
    - `surprise` float64[n] in the readings' order: each reading less what its stay says of it, °C.
    """

    columns: Columns
    e: Floats
    pressed: Floats
    surprise: Floats


def asked(problem: Problem, fitted: Fitted, who: Taught, terms: Sequence[Term], x: Floats) -> Asked:
    """The null fit, its spreads at their mode."""
    made = _columns(problem, fitted, terms, x, keep_last=False)
    found = mode(sums(made, fitted.fit.course), terms)
    u = found.at.u.copy()
    k = running(terms)
    if k is not None and found.rho is not None:
        part = made.slices()[terms[k].name]
        u[part] = runs_root(terms[k], found.rho) @ u[part]
    everything = left(made, fitted.fit.course, u, found.at.beta)
    without = u.copy()
    without[made.slices()["person"]] = 0.0
    e = made.arrays.y - estimated(made, fitted.fit.course, without, found.at.beta)
    pressed, surprise = np.empty(len(e)), np.empty(len(e))
    pressed[made.order] = everything.pressed
    surprise[made.order] = everything.pressed / everything.inverse
    return Asked(made, e, pressed, surprise)


def _orders(problem: Problem, who: Taught, null: Asked) -> tuple[Floats, Floats]:
    began = starts(who.signed_off, who.home, who.charted.wards)
    time, person = problem.readings.time, who.charted.person
    a = timetables(null.pressed, person, time, who.acted_on, who.signed_off, who.home, began)
    return a, began


def _columns(
    problem: Problem, fitted: Fitted, terms: Sequence[Term], x: Floats, *, keep_last: bool
) -> Columns:
    """The review's own fixed columns but its calendar, then `x`; columns made up of others are left out."""
    fixed, told = fitted.fit.model.fixed, fitted.fit.model.held
    own = np.array([kind not in ("mean", "calendar") for kind, _ in fixed.meaning])
    both = np.hstack([x[:, :1], fixed.x[:, own], x[:, 1:]])
    scaled = np.concatenate([[True], fixed.scaled[own], np.zeros(x.shape[1] - 1, bool)])
    keep = independent_columns(both)
    keep[-1] |= keep_last
    return columns(
        problem.readings.value - CENTRE,
        both[:, keep],
        [Factor(t.name, t.codes, t.levels) for t in terms],
        np.arange(len(problem)) if problem.stay is None else problem.stay,
        problem.readings.time,
        site=problem.site,
        scaled=scaled[keep],
        doubt=problem.doubt,
        group=told.group,
    )
