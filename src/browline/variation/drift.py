"""How far each instrument sinks between lens cleanings: the mean slope plus its own, with the doubt of both.

    slope_d = beta_drift + b_d,   change over its usual time L between cleanings = slope_d L

Days since cleaning run evenly from 0 to L, so L is twice their mean over the instrument's readings.
"""

from dataclasses import replace

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.effects.mixture import Mixture
from browline.variation.effects.solved import Solved
from browline.variation.problem import Problem
from browline.variation.result import Drift, Effect
from browline.variation.tables import Fitted

FEWEST_READINGS = 40


def with_drift(
    problem: Problem, fitted: Fitted, effects: tuple[Effect, ...], tolerance_c: float
) -> tuple[Effect, ...]:
    """The instruments with their drift, where enough readings have a known cleaning before them."""
    since_cleaning = fitted.fit.model.since_cleaning
    if since_cleaning is None or "drift" not in fitted.fit.sds:
        return effects
    days = since_cleaning.days + since_cleaning.mean
    codes = fitted.kinds["instrument"].codes
    posterior = slopes(fitted)
    low, high = posterior.interval()
    rows = []
    for effect in effects:
        readings = (codes == effect.level) & since_cleaning.known
        if readings.sum() < FEWEST_READINGS:
            rows.append(effect)
            continue
        k, between = effect.level, 2.0 * float(days[readings].mean())
        chance = float(posterior.beyond(tolerance_c / max(between, 1.0))[k])
        centre = float(posterior.centre[k])
        rows.append(
            replace(
                effect,
                drift=Drift(
                    per_day_c=centre, low_c=float(low[k]), high_c=float(high[k]), days=between, chance=chance
                ),
            )
        )
    return tuple(rows)


def drift_means(fitted: Fitted, label: Codes, width: int) -> Floats:
    """The mean of the drift's part in each instrument level's cells, °C, float64[levels, width].

    `label` int64[n], in the columns' order, in 0..width-1. All 0 where the model has no drift.
    """
    fit, since_cleaning = fitted.fit, fitted.fit.model.since_cleaning
    codes, levels = fitted.codes("instrument"), len(fitted.kinds["instrument"].subject)
    if since_cleaning is None or "drift" not in fit.sds:
        return np.zeros((levels, width))
    charted = codes >= 0
    slope = (
        fit.u[fit.model.columns.slices()["drift"]]
        + fit.solution.beta[fit.model.fixed.meaning.index(("drift", ""))]
    )
    days = since_cleaning.days[fit.model.columns.order][charted]
    cell = codes[charted] * width + label[charted]
    total = np.bincount(cell, slope[codes[charted]] * days, levels * width)
    counts = np.maximum(np.bincount(cell, minlength=levels * width), 1)
    return np.asarray((total / counts).reshape(levels, width))


def slopes(fitted: Fitted) -> Mixture:
    """Every instrument level's slope in °C a day, widened by what the stays' scores add."""
    part = fitted.fit.model.columns.slices()["drift"]
    column = len(fitted.fit.solution.u) + fitted.fit.model.fixed.meaning.index(("drift", ""))

    def moments(solution: Solved) -> tuple["np.typing.NDArray[np.float64]", "np.typing.NDArray[np.float64]"]:
        c = solution.covariance
        variance = np.diag(c)[part] + 2 * c[part, column] + c[column, column]
        return solution.u[part] + solution.beta[column - len(solution.u)], variance

    read = fitted.over.read(moments)
    take = np.zeros((part.stop - part.start, len(fitted.fit.solution.covariance)))
    take[:, part] = np.eye(len(take))
    take[:, column] = 1.0
    return Mixture(read.weight, read.mean, read.sd * fitted.clusters.widening(take))
