"""Numbers carried over: from the patient's own previous reading, or from the neighbour in the round."""

import numpy as np
from numpy.typing import NDArray

from browline.audit.expected_density import Smooth
from browline.audit.histograms import Table
from browline.audit.pairs import Successive, patient_pairs, round_pairs
from browline.audit.problem import Problem
from browline.audit.repeated_values import Carried, Pairs, carried

Ints = NDArray[np.int64]

COPY_HOURS = (0.5, 14.0)
"""Quicker repeats are retakes, chosen because a value looked wrong; later ones are another day's reading."""
PASSED = {"copied-values": 0.02, "round-batch": 0.01}
"""Share of pairs let pass: a stay that truly stands still copies itself. Our choice; see the studies."""


def copies(problem: Problem, table: Table, honest: Smooth) -> tuple[tuple[Carried, ...], Successive]:
    """Equal successive readings of one patient, by ward, and the pairs looked at.

    A probe that stays in place repeats itself honestly, so readings of core sites are not asked.
    """
    pairs = patient_pairs(problem)
    pairs = pairs.take((pairs.hours >= COPY_HOURS[0]) & (pairs.hours <= COPY_HOURS[1]))
    pairs = pairs.take(~problem.in_place[pairs.later])
    return _carried(problem, table, honest, pairs, problem.cluster, PASSED["copied-values"])


def batches(problem: Problem, table: Table, honest: Smooth) -> tuple[tuple[Carried, ...], Successive]:
    """Equal neighbouring readings of different patients in a round, by ward, and the pairs looked at."""
    return _carried(problem, table, honest, round_pairs(problem), problem.ward_day, PASSED["round-batch"])


def _carried(
    problem: Problem, table: Table, honest: Smooth, pairs: Successive, cluster: Ints, passed: float
) -> tuple[tuple[Carried, ...], Successive]:
    site, ward = problem.readings.codes["site"], problem.ward
    row = np.full(len(problem.readings), -1, np.int64)
    row[table.which] = np.arange(len(table.which))
    same_place = (site[pairs.earlier] == site[pairs.later]) & (ward[pairs.earlier] == ward[pairs.later])
    pairs = pairs.take(same_place & (row[pairs.earlier] >= 0) & (row[pairs.later] >= 0))
    in_table = Pairs(row[pairs.earlier], row[pairs.later], ward[pairs.later], cluster[pairs.later])
    return carried(table, honest, in_table, passed), pairs
