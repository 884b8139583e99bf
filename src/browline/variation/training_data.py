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
from browline.variation.random_factors import core_readings
from browline.variation.stays.columns import Columns, Factor, columns
from browline.variation.stays.passes import sums
from browline.variation.stays.residuals import estimated, residuals
from browline.variation.tables import Fitted
from browline.variation.training.exposure import Exposure, compared_months, exposure, home_wards, starts
from browline.variation.training.level import Level, level
from browline.variation.training.permutation import permutation_test, timetables
from browline.variation.training.spreads import mode, running, runs_root
from browline.variation.training.terms import (
    Charted,
    Term,
    base_terms,
    fixed_columns,
    null_columns,
    response_terms,
)
from browline.variation.training.verdict import FEW_WARDS, Evidence

SCANNED = ("temporal", "behind-ear")


@dataclass(frozen=True)
class TrainingData:
    """Who was signed off when they charted, in the order of the readings.

    - `charted`, `exposed`; `acted_on` bool[n]: at a site the scan acts on. `signed_off` float64[people], hours.
    - `home` int64[people]: each person's ward.
    """

    charted: Charted
    exposed: Exposure
    acted_on: Bools
    signed_off: Floats
    home: Codes


def training_data(problem: Problem) -> TrainingData | None:
    """Who was signed off when; None where the charts name nobody, no ward, or nobody was signed off."""
    codes, names = problem.readings.codes, problem.readings.names["person"]
    if not (problem.readings.has("person") and problem.readings.has("ward") and problem.signed_off):
        return None
    acted_on = scanned(problem)
    away = core_readings(problem)
    person, ward, instrument = (_outside_core(codes[name], away) for name in ("person", "ward", "instrument"))
    charted = Charted(person, ward, codes["instrument"].astype(np.int64), months(problem.readings.time))
    signed_off = np.array([problem.signed_off.get(name, np.inf) for name in names])
    exposed = exposure(person, problem.readings.time, acted_on, signed_off)
    if not exposed.trained.any() or instrument.max(initial=-1) < 0:
        return None
    home = home_wards(np.where(acted_on, person, -1), ward, len(names), charted.wards)
    return TrainingData(charted=charted, exposed=exposed, acted_on=acted_on, signed_off=signed_off, home=home)


def _outside_core(codes: "np.typing.NDArray[np.int32]", away: Bools) -> Codes:
    return np.where(away, -1, codes.astype(np.int64))


def scanned(problem: Problem) -> Bools:
    """Which readings the scan acts on: those at scanned sites, or all where no reading names one of them."""
    mask = np.array([site in SCANNED for site in problem.sites], bool)[problem.site]
    return mask if mask.any() else ~core_readings(problem)


def months(time: Floats) -> Codes:
    """The calendar month of every reading, counted from the first, UTC."""
    month = (time * 3600.0).astype("datetime64[s]").astype("datetime64[M]").astype(np.int64)
    return np.asarray(month - month.min(initial=0 if not len(month) else int(month[0])))


def evidence(
    problem: Problem, fitted: Fitted, who: TrainingData, rng: Generator
) -> tuple[Evidence, "NullFit"]:
    """What the verdict rests on, and the null fit that the picture and the measures are taken from."""
    base = base_terms(who.charted)
    null = null_fit(problem, fitted, who, base, null_columns(who.charted, who.exposed))
    primary = _level(problem, fitted, who, base)
    compared = compared_months(who.exposed, who.acted_on, who.charted.month, who.charted.months)
    signed = np.unique(who.charted.person[who.exposed.trained])
    wards_charting = who.charted.ward[who.acted_on]
    wards = len(np.unique(wards_charting[wards_charting >= 0]))
    tested = permutation_test(*_orders(problem, who, null), rng) if wards < FEW_WARDS else None
    return Evidence(
        level=primary,
        orders=tested,
        compared_months=int(compared.sum()),
        months=len(compared),
        wards=wards,
        people_signed_off=len(signed),
    ), null


def _level(problem: Problem, fitted: Fitted, who: TrainingData, base: Sequence[Term]) -> Level | None:
    terms = (*base, *response_terms(who.charted, who.exposed.trained))
    x = fixed_columns(who.charted, who.exposed, who.acted_on)
    built = _columns(problem, fitted, terms, x, keep_last=True)
    try:
        return level(sums(built, fitted.fit.course), terms, -1)
    except np.linalg.LinAlgError:
        return None


@dataclass(frozen=True)
class NullFit:
    """A fit that does not know who was signed off, and what it leaves.

    - `e` float64[n] in the columns' order: readings less everything but people's effects, °C.
    - `weighted` float64[n] in the readings' order: ``V^-1 (y - X beta)``, V of everything, 1/°C.
    - `deletion_residual` float64[n] in the readings' order: each reading less what its stay says of it, °C.
    """

    columns: Columns
    e: Floats
    weighted: Floats
    deletion_residual: Floats


def null_fit(
    problem: Problem, fitted: Fitted, who: TrainingData, terms: Sequence[Term], x: Floats
) -> NullFit:
    """The null fit, its spreads at their mode."""
    built = _columns(problem, fitted, terms, x, keep_last=False)
    null_mode = mode(sums(built, fitted.fit.course), terms)
    u = null_mode.solution.u.copy()
    k = running(terms)
    if k is not None and null_mode.rho is not None:
        part = built.slices()[terms[k].name]
        u[part] = runs_root(terms[k], null_mode.rho) @ u[part]
    everything = residuals(built, fitted.fit.course, u, null_mode.solution.beta)
    without = u.copy()
    without[built.slices()["person"]] = 0.0
    e = built.arrays.y - estimated(built, fitted.fit.course, without, null_mode.solution.beta)
    weighted, deletion_residual = np.empty(len(e)), np.empty(len(e))
    weighted[built.order] = everything.weighted
    deletion_residual[built.order] = everything.weighted / everything.precision
    return NullFit(built, e, weighted, deletion_residual)


def _orders(problem: Problem, who: TrainingData, null: NullFit) -> tuple[Floats, Floats]:
    began = starts(who.signed_off, who.home, who.charted.wards)
    time, person = problem.readings.time, who.charted.person
    a = timetables(null.weighted, person, time, who.acted_on, who.signed_off, who.home, began)
    return a, began


def _columns(
    problem: Problem, fitted: Fitted, terms: Sequence[Term], x: Floats, *, keep_last: bool
) -> Columns:
    """The review's own fixed columns but its calendar, then `x`; columns made up of others are left out."""
    fixed, stays = fitted.fit.model.fixed, fitted.fit.model.identifiable
    kept_columns = np.array([kind not in ("mean", "calendar") for kind, _ in fixed.meaning])
    both = np.hstack([x[:, :1], fixed.x[:, kept_columns], x[:, 1:]])
    scaled = np.concatenate([[True], fixed.scaled[kept_columns], np.zeros(x.shape[1] - 1, bool)])
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
        variance_weight=problem.variance_weight,
        group=stays.group,
    )
