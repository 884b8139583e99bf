"""How long since the lens was cleaned: the covariate of drift, missing before the first known cleaning.

    reading = ... + a_d + (mean slope + b_d) c,   c = days since the lens was last cleaned, less their mean

A reading whose last cleaning is not known counts as one at the mean: it says nothing about the slope, and the
instrument's offset is that at a usual time since cleaning.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.variation.arrays import Floats
from browline.variation.problem import Problem

FEWEST_READINGS, FEWEST_INSTRUMENTS = 200, 2
LONGEST_DAYS = 120.0


@dataclass(frozen=True)
class SinceCleaning:
    """`days` float64[n] since the last cleaning less `mean`, 0 where not known; `known` bool[n]."""

    days: Floats
    mean: float
    known: NDArray[np.bool_]


def since_cleaning(problem: Problem) -> SinceCleaning | None:
    """The days since cleaning of every reading; None where too few cleanings are known to tell a slope."""
    since = days_after_cleaning(problem)
    known = np.isfinite(since)
    instruments = np.unique(problem.readings.codes["instrument"][known])
    if known.sum() < FEWEST_READINGS or len(instruments) < FEWEST_INSTRUMENTS:
        return None
    mean = float(since[known].mean())
    if float(since[known].std()) <= 0:
        return None
    return SinceCleaning(np.where(known, since - mean, 0.0), mean, known)


def days_after_cleaning(problem: Problem) -> Floats:
    """Days since the lens was last cleaned, float64[n]; NaN before the first known cleaning, or long after the last.

    After `LONGEST_DAYS` without an entry it is likelier that cleanings were not written down.
    """
    since = np.full(len(problem), np.nan)
    for code, name in enumerate(problem.readings.names["instrument"]):
        cleaned = problem.cleanings.get(name)
        if cleaned is None or not len(cleaned):
            continue
        rows = np.flatnonzero(problem.readings.codes["instrument"] == code)
        time = problem.readings.time[rows]
        last = np.searchsorted(cleaned, time, side="right") - 1
        days = (time - cleaned[np.maximum(last, 0)]) / 24.0
        since[rows] = np.where((last >= 0) & (days <= LONGEST_DAYS), days, np.nan)
    return since
