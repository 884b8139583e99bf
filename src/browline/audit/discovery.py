"""False discovery control across wards, and what is too little to tell."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from browline.audit.result import Outcome, Signal

Floats = NDArray[np.float64]

FEWEST = 30
"""Readings, pairs or patients; with fewer nothing is told. Common practice, no source."""
MOST = 0.01
"""No test is called seen at a larger chance: where there is one ward only, the share of false ones is no guard."""


def discoveries(p: Floats, false_discovery_rate: float) -> NDArray[np.bool_]:
    """Which of m tests stand when at most `false_discovery_rate` of those that do may be false.

    With p sorted upward, the largest k with ``p_(k) <= q k / m``, and all smaller ones.

    - `p`: float64[m] in [0, 1]. `false_discovery_rate`: in (0, 1).
    Source: Benjamini and Hochberg 1995, J R Stat Soc B 57:289-300 (formula from memory).

    >>> discoveries(np.array([0.001, 0.8, 0.02, 0.9]), 0.10).tolist()
    [True, False, True, False]
    """
    order = np.argsort(p)
    passed = np.flatnonzero(p[order] <= false_discovery_rate * np.arange(1, len(p) + 1) / max(len(p), 1))
    out = np.zeros(len(p), bool)
    if len(passed):
        out[order[: passed[-1] + 1]] = True
    return out


def single_test_level(probability: float) -> float:
    """The chance at which a single flag would stand: `probability` (0 to 1), never over `MOST`.

    >>> single_test_level(0.0005), single_test_level(0.05)
    (0.0005, 0.01)
    """
    return min(probability, MOST)


def quantile(probability: float) -> float:
    """Normal quantile of the chance at which a single flag would stand.

    >>> round(quantile(0.05), 3)
    2.326
    """
    return -NormalDist().inv_cdf(single_test_level(probability))


def with_outcomes(
    signals: Iterable[Signal], false_discovery_rate: float, required: Mapping[str, float]
) -> tuple[Signal, ...]:
    """The signals with their outcomes: each test is one family over its wards.

    - `false_discovery_rate`: share of false ones let pass among those seen.
    - `required`: test → the effect that must be visible 8 times in 10, else a signal that is not seen is "too few
      to tell".
    """
    families: dict[str, list[Signal]] = defaultdict(list)
    for s in signals:
        families[s.test].append(s)
    return tuple(
        s
        for test, family in families.items()
        for s in _family(family, false_discovery_rate, required.get(test))
    )


def _family(family: list[Signal], false_discovery_rate: float, required: float | None) -> list[Signal]:
    out = [_if_enough(s) for s in family]
    tested = [i for i, s in enumerate(out) if s.p is not None and s.outcome is Outcome.NOT_SEEN]
    p = np.array([out[i].p for i in tested], dtype=np.float64)
    stands = discoveries(p, false_discovery_rate) & (p <= MOST)
    for i, significant in zip(tested, stands, strict=True):
        out[i] = replace(out[i], outcome=_outcome(out[i], bool(significant), required))
    return out


def _if_enough(signal: Signal) -> Signal:
    few = signal.outcome is Outcome.NOT_SEEN and signal.n < FEWEST
    return replace(signal, outcome=Outcome.TOO_FEW) if few else signal


def _outcome(signal: Signal, significant: bool, required: float | None) -> Outcome:
    if significant:
        return Outcome.SEEN
    if required is not None and signal.least is not None and signal.least > required:
        return Outcome.TOO_FEW
    return Outcome.NOT_SEEN
