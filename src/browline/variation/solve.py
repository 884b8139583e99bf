"""From problem to result: fit, look for instruments that changed part-way, fit again, read off the tables."""

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from browline.variation.design import Design
from browline.variation.fit import Fit, fit
from browline.variation.levels import Levels, levels
from browline.variation.ordinary import Ordinary, ordinary
from browline.variation.outcome import Outcome
from browline.variation.problem import FACTORS, Problem
from browline.variation.residuals import cells_by_level, residuals
from browline.variation.result import Counts, Result, Spread
from browline.variation.since import Change, change
from browline.variation.tables import Fitted, effect_tables, site_table, spread
from browline.variation.weekly import weekly
from browline.weeks import WEEK_HOURS, weeks

FEWEST = 20
ROUNDS = 2
SETTLED = 1e-6
SAMPLE_ABOVE, SAMPLE_EVERY = 200_000, 8

Progress = Callable[[str, float], None]


def solve(problem: Problem, *, progress: Progress | None = None) -> Result:
    """Fit the ordinary crossed model by REML and read off sites, spread, instruments, wards and people.

    `progress` is told a sentence and the share done. Never raises for what the readings cannot hold: the
    result's outcome says so.
    """
    tell = progress or _silent
    if len(problem) < FEWEST:
        return _without_answer(problem, Outcome.TOO_FEW)
    kinds = {name: levels(problem.readings.codes[name].astype(np.int64)) for name in FACTORS}
    try:
        tell("Fitting where the spread comes from", 0.1)
        fitted = _fitted(problem, kinds, None)
        for left in range(ROUNDS, 0, -1):
            tell("Looking for instruments that changed part-way", 0.8 - 0.2 * left)
            split = _split(problem, fitted)
            if split is fitted.kinds["instrument"]:
                break
            fitted = _fitted(problem, {**fitted.kinds, "instrument": split}, fitted.fit)
        tell("Comparing sites", 0.9)
        return _read_off(problem, fitted)
    except np.linalg.LinAlgError:
        return _without_answer(problem, Outcome.NOT_IDENTIFIED)


def _silent(sentence: str, share: float) -> None:
    pass


def _fitted(problem: Problem, kinds: Mapping[str, Levels], before: Fit | None) -> Fitted:
    model = ordinary(problem, {name: kind.codes for name, kind in kinds.items()})
    start = before.tau if before is not None and before.names == model.design.names else _sampled(model)
    # A trial step may run far out where readings hardly vary; the criterion judges it, not a warning.
    with np.errstate(over="ignore"):
        return Fitted(model, fit(model.design, start, close=SETTLED), kinds)


def _sampled(model: Ordinary) -> "np.typing.NDArray[np.float64] | None":
    """Where to start: the answer of a share of the stays, where there are very many readings."""
    design = model.design
    if len(design.y) < SAMPLE_ABOVE or not design.nest:
        return None
    try:
        return fit(every_so_many_stays(design, SAMPLE_EVERY), close=SETTLED).tau
    except np.linalg.LinAlgError:
        return None


def every_so_many_stays(design: Design, step: int) -> Design:
    """The design of every `step`-th stay only."""
    keep = design.nest[0].codes % step == 0

    def kept(factors: tuple) -> tuple:  # type: ignore[type-arg]
        return tuple(replace(f, codes=f.codes[keep]) for f in factors)

    return Design(design.y[keep], design.x[keep], kept(design.factors), kept(design.nest), design.order[keep])


def scan(problem: Problem, fitted: Fitted, name: str) -> dict[int, Change]:
    """The likeliest change of every level of a factor that has readings enough to tell."""
    design = fitted.model.design
    if name not in design.slices():
        return {}
    week, _ = weeks(problem.readings.time)
    left = residuals(design, fitted.fit)
    codes = fitted.kinds[name].codes[design.order]
    own = fitted.fit.at.u[design.slices()[name]]
    found = cells_by_level(design, fitted.fit, left, codes, week[design.order], own)
    changes = ((level, change(cells)) for level, cells in found)
    return {level: got for level, got in changes if got is not None}


def _split(problem: Problem, fitted: Fitted) -> Levels:
    """The instruments' levels with every surely changed one split at its week; the same object for none."""
    kind = fitted.kinds["instrument"]
    week, first = weeks(problem.readings.time)
    for level, found in scan(problem, fitted, "instrument").items():
        if found.splits:
            kind = kind.split(level, week >= found.week, first + found.week * WEEK_HOURS)
    return kind


def _read_off(problem: Problem, fitted: Fitted) -> Result:
    changes = {name: scan(problem, fitted, name) for name in FACTORS if name != "person"}
    made = effect_tables(problem, fitted, changes)
    return Result(
        fitted.fit.outcome,
        _counts(problem),
        problem.sites[0],
        site_table(problem, fitted),
        spread(fitted.fit),
        made["instrument"],
        made["ward"],
        made["person"],
        {
            name or what: float(b)
            for (what, name), b in zip(fitted.model.columns, fitted.fit.at.beta, strict=True)
        },
        fitted.fit.criterion,
        fitted.fit.passes,
        fitted.model.dropped,
        problem.stay_of_patient,
        {name: weekly(problem, fitted, name) for name in ("instrument", "ward")},
    )


def _counts(problem: Problem) -> Counts:
    codes = problem.readings.codes
    stays = 0 if problem.stay is None else len(np.unique(problem.stay))
    seen = {name: len(np.unique(codes[name][codes[name] >= 0])) for name in FACTORS}
    left_out = (problem.set_aside, problem.without_site)
    return Counts(len(problem), *left_out, stays, seen["instrument"], seen["person"], seen["ward"])


def _without_answer(problem: Problem, outcome: Outcome) -> Result:
    """A result that holds nothing but why."""
    nothing = Spread(None, None, None, None, None, None, None)
    site = problem.sites[0] if problem.sites else None
    return Result(
        outcome, _counts(problem), site, (), nothing, (), (), (), {}, None, 0, (), problem.stay_of_patient
    )
