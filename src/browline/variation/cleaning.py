"""Does an instrument read higher after its lens was cleaned? The contrast over three days either side.

A lens that gathers dirt sinks between cleanings and jumps back after; ageing and seasons do not know the day
of a cleaning. Readings of one instrument within three days before a cleaning are set against those within
three days after it, the stays' baselines known only as well as the other readings tell them.
"""

from dataclasses import dataclass, replace

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.drift import drift_means
from browline.variation.problem import Problem
from browline.variation.stays.cells import Cells, cells_by_level
from browline.variation.tables import Fitted

DAYS_EITHER_SIDE = 3.0
FEWEST_EITHER_SIDE = 8
BEFORE, AFTER, OTHER = 0, 1, 2
PRIOR_SD = 1.0


@dataclass(frozen=True)
class Contrast:
    """How much higher after than before a cleaning, °C, with its sd."""

    rise_c: float
    sd_c: float


def after_cleaning(problem: Problem, fitted: Fitted) -> dict[int, Contrast]:
    """The contrast of every instrument level whose cleanings are known well enough."""
    if not problem.cleanings:
        return {}
    fit, columns = fitted.fit, fitted.fit.model.columns
    phase = phases(problem)[columns.order]
    effects = fit.u[columns.slices()["instrument"]]
    by_level = cells_by_level(
        columns, fit.course, fitted.residuals.e, fitted.codes("instrument"), phase, effects
    )
    drift = drift_means(fitted, phase, OTHER + 1)
    contrasts = ((level, _contrast(_sinking(cells, drift[level]))) for level, cells in by_level)
    return {level: got for level, got in contrasts if got is not None}


def _sinking(cells: Cells, drift: Floats) -> Cells:
    """The cells with the drift that the model took out of the readings put back, as its mean in each cell."""
    return replace(cells, score=cells.score + cells.information @ drift[cells.label])


def phases(problem: Problem) -> Codes:
    """For every reading whether its instrument was cleaned within three days after or before it."""
    phase = np.full(len(problem), OTHER, np.int64)
    for code, name in enumerate(problem.readings.names["instrument"]):
        cleaned = problem.cleanings.get(name)
        if cleaned is not None and len(cleaned):
            rows = np.flatnonzero(problem.readings.codes["instrument"] == code)
            phase[rows] = _phase(problem.readings.time[rows], cleaned)
    return phase


def _phase(time: Floats, cleaned: Floats) -> Codes:
    hours = DAYS_EITHER_SIDE * 24.0
    following = np.searchsorted(cleaned, time, side="right")
    padded = np.concatenate([[-np.inf], cleaned, [np.inf]])
    since, until = time - padded[following], padded[following + 1] - time
    return np.where(since <= hours, AFTER, np.where(until <= hours, BEFORE, OTHER)).astype(np.int64)


def _contrast(cells: Cells) -> Contrast | None:
    place = {int(label): k for k, label in enumerate(cells.label)}
    if BEFORE not in place or AFTER not in place:
        return None
    a, b = place[AFTER], place[BEFORE]
    if min(cells.n[a], cells.n[b]) < FEWEST_EITHER_SIDE:
        return None
    covariance = np.linalg.inv(cells.information + np.eye(len(cells.n)) / PRIOR_SD**2)
    mean = covariance @ cells.score
    variance = covariance[a, a] - 2 * covariance[a, b] + covariance[b, b]
    return Contrast(float(mean[a] - mean[b]), float(np.sqrt(max(variance, 0.0))))
