"""False discovery control across wards, and what is too little to tell."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from browline.audit.result import Outcome, Signal

Floats = NDArray[np.float64]


def discoveries(p: Floats, share: float) -> NDArray[np.bool_]:
    """Which of m tests stand when at most `share` of those that do may be false.

    With p sorted upward, the largest k with ``p_(k) <= share k / m``, and all smaller ones.

    - `p`: float64[m] in [0, 1]. `share`: in (0, 1).
    Source: Benjamini and Hochberg 1995, J R Stat Soc B 57:289-300 (formula from memory).

    >>> discoveries(np.array([0.001, 0.8, 0.02, 0.9]), 0.10).tolist()
    [True, False, True, False]
    """
    order = np.argsort(p)
    passed = np.flatnonzero(p[order] <= share * np.arange(1, len(p) + 1) / max(len(p), 1))
    out = np.zeros(len(p), bool)
    if len(passed):
        out[order[: passed[-1] + 1]] = True
    return out


def judged(signals: Iterable[Signal], share: float, told: Mapping[str, float]) -> tuple[Signal, ...]:
    """The signals with their outcomes: each test is one family over its wards.

    - `share`: false ones let pass among those seen. `told`: test → the effect that must be visible 8 times in
      10, else a signal that is not seen is "too few to tell".
    """
    families: dict[str, list[Signal]] = defaultdict(list)
    for s in signals:
        families[s.test].append(s)
    return tuple(s for test, family in families.items() for s in _family(family, share, told.get(test)))


def _family(family: list[Signal], share: float, told: float | None) -> list[Signal]:
    tested = [i for i, s in enumerate(family) if s.p is not None and s.outcome is Outcome.NOT_SEEN]
    stands = discoveries(np.array([family[i].p for i in tested], dtype=np.float64), share)
    out = list(family)
    for i, seen in zip(tested, stands, strict=True):
        out[i] = replace(family[i], outcome=_outcome(family[i], bool(seen), told))
    return out


def _outcome(signal: Signal, seen: bool, told: float | None) -> Outcome:
    if seen:
        return Outcome.SEEN
    if told is not None and signal.least is not None and signal.least > told:
        return Outcome.TOO_FEW
    return Outcome.NOT_SEEN
