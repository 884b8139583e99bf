"""For each reading, how likely it was measured."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from browline.audit.pairs import Successive
from browline.audit.problem import Problem
from browline.audit.repeated_values import Carried
from browline.audit.value_tests import ValueTests

Floats = NDArray[np.float32]
Flagged = set[tuple[str, str]]
"""The tests that stand: (test, ward)."""


def probabilities(problem: Problem, value_tests: Iterable[ValueTests], flagged: Flagged) -> Floats:
    """float32[n], chance that each reading was measured, given what was seen.

    ``expected / observed`` for a value found too often, or for a number equal to the one it may have been carried
    over from; these multiply. Readings of wards where nothing was seen keep 1.
    """
    out = np.ones(len(problem.readings), np.float32)
    for tests in value_tests:
        which = tests.table.which
        out[which] *= _by_value(problem, tests, flagged)[problem.ward[which], tests.table.place]
        for test, carried, pairs in (
            ("copied-values", tests.copies, tests.copy_pairs),
            ("round-batch", tests.batches, tests.batch_pairs),
        ):
            later = _equal(problem, pairs)
            out[later] *= _by_ward(problem, test, carried, flagged)[problem.ward[later]]
    return out


def _by_value(problem: Problem, tests: ValueTests, flagged: Flagged) -> Floats:
    """float32[W, K], the chance of each number on each ward."""
    out = np.ones((len(problem.wards), tests.table.grid.size), np.float32)
    for s in (*tests.spikes.first, *tests.spikes.more):
        if ("value-spike", problem.wards[s.ward]) in flagged:
            out[s.ward, s.place] *= _honest(s.excess.expected, s.excess.observed)
    return out


def _by_ward(problem: Problem, test: str, carried: tuple[Carried, ...], flagged: Flagged) -> Floats:
    """float32[W], the chance of a number that repeats the one before it."""
    out = np.ones(len(problem.wards), np.float32)
    for c in carried:
        if (test, problem.wards[c.ward]) in flagged:
            out[c.ward] = _honest(c.excess.expected, c.excess.observed)
    return out


def _equal(problem: Problem, pairs: Successive) -> NDArray[np.int64]:
    """The later readings of pairs that hold the same number."""
    value = problem.charted.value
    return pairs.take(value[pairs.later] == value[pairs.earlier]).later


def _honest(expected: float, observed: float) -> np.float32:
    return np.float32(min(1.0, expected / max(observed, 1.0)))
