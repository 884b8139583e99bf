"""From problem to result: fit, look for instruments that changed part-way, fit again, read off the tables."""

from collections.abc import Callable, Mapping

import numpy as np
from numpy.random import Generator

from browline.variation.arrays import Floats
from browline.variation.change_point import Change, change
from browline.variation.cleaning import after_cleaning
from browline.variation.drift import with_drift
from browline.variation.effects.confounded import confounded
from browline.variation.fit import ROUGHLY, SETTLED, Fit, fit
from browline.variation.judged import with_judged
from browline.variation.levels import Levels, levels
from browline.variation.model import Model, model
from browline.variation.outcome import Outcome
from browline.variation.problem import FACTORS, Problem
from browline.variation.register import with_register
from browline.variation.result import Counts, Effect, Result, Spread
from browline.variation.sites import site_table
from browline.variation.stays.cells import cells_by_level
from browline.variation.tables import Fitted, effect_tables, spread, with_partners
from browline.variation.training_table import training_table
from browline.variation.weekly import weekly
from browline.weeks import WEEK_HOURS, weeks

FEWEST = 20
ROUNDS = 2
TOLERANCE_C = 0.3
SEED = 20260401

Progress = Callable[[str, float], None]


def solve(
    problem: Problem,
    *,
    tolerance_c: float = TOLERANCE_C,
    rng: Generator | None = None,
    progress: Progress | None = None,
) -> Result:
    """Fit the joint model by REML and read off sites, spread, instruments, wards and people.

    `tolerance_c`: how far off is too far. `rng` draws orders of wards where there are too many to try all; without it
    the same ones are drawn every time. `progress` is told a sentence and the share done. Never raises for what the
    readings cannot hold: the result's outcome says so.
    """
    tell = progress or _silent
    if len(problem) < FEWEST:
        return _without_answer(problem, Outcome.TOO_FEW)
    if np.ptp(problem.readings.value) == 0:
        return _without_answer(problem, Outcome.NOT_IDENTIFIED)
    kinds = factor_levels(problem)
    try:
        tell("Fitting where the spread comes from", 0.1)
        fitted = _rough(problem, kinds, None)
        for rounds_remaining in range(ROUNDS, 0, -1):
            tell("Looking for instruments that changed part-way", 0.8 - 0.2 * rounds_remaining)
            split = _split(problem, fitted)
            if split is fitted.kinds["instrument"]:
                break
            fitted = _rough(problem, {**fitted.kinds, "instrument": split}, fitted.fit)
        fitted = Fitted(
            fit(fitted.fit.model, fitted.fit.theta, close=SETTLED, rho=fitted.fit.rho), fitted.kinds
        )
        if not fitted.fit.outcome.usable:
            return _without_answer(problem, fitted.fit.outcome)
        tell("Comparing sites", 0.9)
        return _read_off(problem, fitted, tolerance_c, rng or np.random.default_rng(SEED))
    except np.linalg.LinAlgError:
        return _without_answer(problem, Outcome.NOT_IDENTIFIED)


def factor_levels(problem: Problem) -> dict[str, Levels]:
    """The levels of instruments, people and wards; instruments are compared with others used at the same site."""
    codes = {name: problem.readings.codes[name].astype(np.int64) for name in FACTORS}
    return {name: levels(c, problem.site if name == "instrument" else None) for name, c in codes.items()}


def _silent(sentence: str, share: float) -> None:
    pass


def _rough(problem: Problem, kinds: Mapping[str, Levels], before: Fit | None) -> Fitted:
    """The fit of these levels, from where the one before ended; rough, which is enough to look for changes."""
    built = model(problem, {name: kind.codes for name, kind in kinds.items()})
    start, rho = _begin(built, before)
    return Fitted(fit(built, start, close=ROUGHLY, rho=rho), kinds)


def _begin(built: Model, before: Fit | None) -> tuple[Floats | None, float | None]:
    """Where to start: where the fit before ended, if it had the same parts."""
    if before is None or before.model.names() != built.names():
        return None, None
    return before.theta, before.rho


def scan(problem: Problem, fitted: Fitted, name: str) -> dict[int, Change]:
    """The likeliest change of every level of a factor that has readings enough to tell."""
    fit_, columns = fitted.fit, fitted.fit.model.columns
    if name not in columns.slices():
        return {}
    week = weeks(problem.readings.time)[0][columns.order]
    effects = fit_.u[columns.slices()[name]]
    by_level = cells_by_level(columns, fit_.course, fitted.residuals.e, fitted.codes(name), week, effects)
    changes = ((level, change(cells)) for level, cells in by_level)
    return {level: got for level, got in changes if got is not None}


def _split(problem: Problem, fitted: Fitted) -> Levels:
    """The instruments' levels with every surely changed one split at its week; the same object for none."""
    kind = fitted.kinds["instrument"]
    week, first = weeks(problem.readings.time)
    for level, step in scan(problem, fitted, "instrument").items():
        if step.splits:
            kind = kind.split(level, week >= step.week, first + step.week * WEEK_HOURS)
    return kind


def _read_off(problem: Problem, fitted: Fitted, tolerance_c: float, rng: Generator) -> Result:
    effects = effect_tables_of(problem, fitted, tolerance_c)
    beta = fitted.fit.solution.beta
    return Result(
        outcome=fitted.fit.outcome,
        counts=_counts(problem),
        reference_site=problem.sites[0],
        sites=site_table(problem, fitted),
        spread=spread(fitted),
        instruments=effects["instrument"],
        wards=effects["ward"],
        people=effects["person"],
        fixed={
            name or kind: float(b)
            for (kind, name), b in zip(fitted.fit.model.fixed.meaning, beta, strict=True)
        },
        criterion=fitted.fit.criterion,
        passes=fitted.fit.passes,
        dropped=fitted.fit.model.dropped,
        stay_of_patient=problem.stay_of_patient,
        weeks={
            n: weekly(problem, fitted, n, fitted.compared[n])
            for n in ("instrument", "ward")
            if n in fitted.compared
        },
        tolerance_c=tolerance_c,
        training=training_table(problem, fitted, rng),
    )


def effect_tables_of(problem: Problem, fitted: Fitted, tolerance_c: float) -> dict[str, tuple[Effect, ...]]:
    """Every subject's effect, with its change, drift, register entries and what it cannot be told from."""
    changes = {name: scan(problem, fitted, name) for name in FACTORS if name != "person"}
    effects = effect_tables(problem, fitted, changes, tolerance_c)
    effects["instrument"] = with_drift(problem, fitted, effects["instrument"], tolerance_c)
    cleaned = after_cleaning(problem, fitted) if "instrument" in fitted.compared else {}
    effects["instrument"] = with_register(problem, effects["instrument"], cleaned)
    against = {name: compared.against for name, compared in fitted.compared.items()}
    partners = confounded(fitted.over, against, fitted.kinds, problem.readings.names)
    return with_judged(problem, with_partners(effects, partners))


def _counts(problem: Problem) -> Counts:
    codes = problem.readings.codes
    stays = 0 if problem.stay is None else len(np.unique(problem.stay))
    levels = {name: len(np.unique(codes[name][codes[name] >= 0])) for name in FACTORS}
    excluded = (problem.set_aside, problem.without_site)
    return Counts(len(problem), *excluded, stays, levels["instrument"], levels["person"], levels["ward"])


def _without_answer(problem: Problem, outcome: Outcome) -> Result:
    """A result that holds nothing but why."""
    nothing = Spread(
        patient_sd_c=None,
        course_sd_c=None,
        course_hours=None,
        instrument_sd_c=None,
        person_sd_c=None,
        ward_sd_c=None,
        reading_sd_c=None,
    )
    site = problem.sites[0] if problem.sites else None
    return Result(
        outcome=outcome,
        counts=_counts(problem),
        reference_site=site,
        sites=(),
        spread=nothing,
        instruments=(),
        wards=(),
        people=(),
        fixed={},
        criterion=None,
        passes=0,
        dropped=(),
        stay_of_patient=problem.stay_of_patient,
    )
