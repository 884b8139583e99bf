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
    soil = fitted.fit.model.dirt
    if soil is None or "drift" not in fitted.fit.sds:
        return effects
    days = soil.days + soil.mean
    codes = fitted.kinds["instrument"].codes
    found = slopes(fitted)
    low, high = found.interval()
    made = []
    for effect in effects:
        own = (codes == effect.level) & soil.known
        if own.sum() < FEWEST_READINGS:
            made.append(effect)
            continue
        k, between = effect.level, 2.0 * float(days[own].mean())
        chance = float(found.beyond(tolerance_c / max(between, 1.0))[k])
        centre = float(found.centre[k])
        made.append(
            replace(
                effect,
                drift=Drift(
                    per_day_c=centre, low_c=float(low[k]), high_c=float(high[k]), days=between, chance=chance
                ),
            )
        )
    return tuple(made)


def sunk(fitted: Fitted, label: Codes, width: int) -> Floats:
    """The mean of the drift's part in each instrument level's cells, °C, float64[levels, width].

    `label` int64[n], in the columns' order, in 0..width-1. All 0 where the model has no drift.
    """
    fit, soil = fitted.fit, fitted.fit.model.dirt
    codes, levels = fitted.codes("instrument"), len(fitted.kinds["instrument"].subject)
    if soil is None or "drift" not in fit.sds:
        return np.zeros((levels, width))
    said = codes >= 0
    slope = (
        fit.u[fit.model.columns.slices()["drift"]] + fit.at.beta[fit.model.fixed.meaning.index(("drift", ""))]
    )
    days = soil.days[fit.model.columns.order][said]
    cell = codes[said] * width + label[said]
    total = np.bincount(cell, slope[codes[said]] * days, levels * width)
    counts = np.maximum(np.bincount(cell, minlength=levels * width), 1)
    return np.asarray((total / counts).reshape(levels, width))


def slopes(fitted: Fitted) -> Mixture:
    """Every instrument level's slope in °C a day, widened by what the stays' scores add."""
    part = fitted.fit.model.columns.slices()["drift"]
    column = len(fitted.fit.at.u) + fitted.fit.model.fixed.meaning.index(("drift", ""))

    def one(found: Solved) -> tuple["np.typing.NDArray[np.float64]", "np.typing.NDArray[np.float64]"]:
        c = found.covariance
        variance = np.diag(c)[part] + 2 * c[part, column] + c[column, column]
        return found.u[part] + found.beta[column - len(found.u)], variance

    read = fitted.over.read(one)
    take = np.zeros((part.stop - part.start, len(fitted.fit.at.covariance)))
    take[:, part] = np.eye(len(take))
    take[:, column] = 1.0
    return Mixture(read.weight, read.mean, read.sd * fitted.clusters.widening(take))
