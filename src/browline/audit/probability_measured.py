"""For each reading, how likely it was measured."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from browline.audit.pairs import Follow
from browline.audit.problem import Problem
from browline.audit.repeated_values import Carried
from browline.audit.value_tests import Looked

Floats = NDArray[np.float32]
Seen = set[tuple[str, str]]
"""What was seen: (test, ward)."""


def chances(problem: Problem, looked: Iterable[Looked], seen: Seen) -> Floats:
    """float32[n], chance that each reading was measured, given what was seen.

    ``expected / observed`` for a value found too often, or for a number equal to the one it may have been carried
    over from; these multiply. Readings of wards where nothing was seen keep 1.
    """
    out = np.ones(len(problem.readings), np.float32)
    for at in looked:
        which = at.table.which
        out[which] *= _of_values(problem, at, seen)[problem.ward[which], at.table.place]
        for test, found, pairs in (
            ("copied-values", at.copies, at.copy_pairs),
            ("round-batch", at.batches, at.batch_pairs),
        ):
            later = _equal(problem, pairs)
            out[later] *= _of_wards(problem, test, found, seen)[problem.ward[later]]
    return out


def _of_values(problem: Problem, at: Looked, seen: Seen) -> Floats:
    """float32[W, K], the chance of each number on each ward."""
    out = np.ones((len(problem.wards), at.table.lattice.size), np.float32)
    for s in (*at.spikes.first, *at.spikes.more):
        if ("value-spike", problem.wards[s.ward]) in seen:
            out[s.ward, s.place] *= _honest(s.excess.expected, s.excess.observed)
    return out


def _of_wards(problem: Problem, test: str, found: tuple[Carried, ...], seen: Seen) -> Floats:
    """float32[W], the chance of a number that repeats the one before it."""
    out = np.ones(len(problem.wards), np.float32)
    for c in found:
        if (test, problem.wards[c.ward]) in seen:
            out[c.ward] = _honest(c.excess.expected, c.excess.observed)
    return out


def _equal(problem: Problem, pairs: Follow) -> NDArray[np.int64]:
    """The later readings of pairs that hold the same number."""
    value = problem.charted.value
    return pairs.take(value[pairs.later] == value[pairs.earlier]).later


def _honest(expected: float, observed: float) -> np.float32:
    return np.float32(min(1.0, expected / max(observed, 1.0)))
