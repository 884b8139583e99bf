"""For each reading, how likely it was measured; and since when a value has been favoured."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from browline.audit.differences import Carried
from browline.audit.follow import Follow
from browline.audit.looked import Looked
from browline.audit.overtime.outcome import Outcome as Course
from browline.audit.overtime.proportions import p_prime_chart
from browline.audit.overtime.since import FEWEST_WEEKS, step
from browline.audit.problem import Problem
from browline.audit.result import Outcome, Signal

FIRST_MONDAY = date(1970, 1, 5)
HOURS_TO_MONDAY, WEEK_HOURS = 96.0, 168.0


def chances(problem: Problem, looked: Iterable[Looked], seen: set[tuple[str, str]]) -> NDArray[np.float32]:
    """float32[n], chance that each reading was measured, given what was seen.

    ``expected / observed`` for a value found too often, or for a number equal to the one it may have been carried
    over from; these multiply. Readings of wards where nothing was seen keep 1.
    """
    out = np.ones(len(problem.readings), np.float32)
    for at in looked:
        for s in (*at.spikes.first, *at.spikes.more):
            if ("value-spike", problem.wards[s.ward]) in seen:
                rows = at.table.which[(problem.ward[at.table.which] == s.ward) & (at.table.place == s.place)]
                out[rows] *= _honest(s.excess.expected, s.excess.observed)
        for test, found, pairs in (
            ("copied-values", at.copies, at.copy_pairs),
            ("round-batch", at.batches, at.batch_pairs),
        ):
            _carried_over(problem, test, found, pairs, seen, out)
    return out


def _carried_over(
    problem: Problem,
    test: str,
    found: tuple[Carried, ...],
    pairs: Follow,
    seen: set[tuple[str, str]],
    out: NDArray[np.float32],
) -> None:
    value = problem.charted.value
    for c in found:
        if (test, problem.wards[c.ward]) in seen:
            same = (problem.ward[pairs.later] == c.ward) & (value[pairs.later] == value[pairs.earlier])
            out[pairs.later[same]] *= _honest(c.excess.expected, c.excess.observed)


def _honest(expected: float, observed: float) -> np.float32:
    return np.float32(min(1.0, expected / max(observed, 1.0)))


def spike_since(problem: Problem, looked: Iterable[Looked], signal: Signal) -> Signal:
    """A spike that was seen, with the week in which its share took a step, where it did."""
    if signal.test != "value-spike" or signal.outcome is not Outcome.SEEN:
        return signal
    for at in looked:
        for s in at.spikes.first:
            if problem.wards[s.ward] == signal.subject_id and at.table.lattice.written(s.place) == signal.at:
                rows = at.table.which[problem.ward[at.table.which] == s.ward]
                favoured = at.table.place[problem.ward[at.table.which] == s.ward] == s.place
                return _turned(signal, problem.readings.time[rows], favoured)
    return signal


def _turned(signal: Signal, time: NDArray[np.float64], favoured: NDArray[np.bool_]) -> Signal:
    week = np.floor((time - HOURS_TO_MONDAY) / WEEK_HOURS).astype(np.int64)
    n = np.bincount(week - week.min())
    count = np.bincount(week - week.min(), favoured)
    used = np.flatnonzero(n)
    weekly, totals = count[used].astype(np.int64), n[used]
    if len(used) < FEWEST_WEEKS:
        return signal
    wide = p_prime_chart(weekly, totals).sigma_z or 1.0
    found = step(weekly, totals, dispersion=max(1.0, wide) ** 2)
    if found is None or found.outcome is not Course.SHIFTED:
        return signal
    first = FIRST_MONDAY + timedelta(weeks=int(week.min() + used[found.first]))
    return replace(signal, turned=first, before=found.before, after=found.after)
