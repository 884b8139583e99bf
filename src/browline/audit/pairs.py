"""Readings that follow each other: of one patient, and of neighbouring patients in a round."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.audit.problem import Problem

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

ROUND_HOURS = 20 / 60
"""Neighbouring readings of a ward further apart than this belong to different rounds."""


@dataclass(frozen=True)
class Successive:
    """m pairs: `earlier`, `later` int64[m], positions among the readings; `hours` float64[m] between them."""

    earlier: Ints
    later: Ints
    hours: Floats

    def take(self, which: NDArray[np.bool_]) -> "Successive":
        """The pairs marked."""
        return Successive(self.earlier[which], self.later[which], self.hours[which])


def patient_pairs(problem: Problem) -> Successive:
    """Each reading with the one before it of the same stay (or patient), in the same ward or not."""
    known = np.flatnonzero(problem.who >= 0)
    return _following(problem, known[np.argsort(problem.who[known], kind="stable")], problem.who)


def round_pairs(problem: Problem) -> Successive:
    """Each reading with the one charted before it in the ward, where that is another patient of the same round."""
    ward = problem.ward
    pairs = _following(problem, np.argsort(ward, kind="stable"), ward)
    different = problem.who[pairs.earlier] != problem.who[pairs.later]
    known = (problem.who[pairs.earlier] >= 0) & (problem.who[pairs.later] >= 0)
    return pairs.take(different & known & (pairs.hours <= ROUND_HOURS))


def _following(problem: Problem, order: Ints, key: Ints) -> Successive:
    """Neighbours in `order` that have the same `of`; the readings come in time order, so these follow in time."""
    same = key[order[1:]] == key[order[:-1]]
    earlier, later = order[:-1][same], order[1:][same]
    return Successive(earlier, later, problem.readings.time[later] - problem.readings.time[earlier])
