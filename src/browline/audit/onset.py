"""Since when a value has been favoured: the week in which its share of a ward's readings took a step."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from browline.audit.histograms import crossed
from browline.audit.overtime.outcome import Outcome as Course
from browline.audit.overtime.proportions import p_prime_chart
from browline.audit.overtime.since import FEWEST_WEEKS, step
from browline.audit.problem import Problem
from browline.audit.result import Outcome, Signal
from browline.audit.value_tests import ValueTests
from browline.weeks import monday, weeks

Ints = NDArray[np.int64]
Subject = tuple[str, str]
"""(ward, value as written)."""


@dataclass(frozen=True)
class Weekly:
    """One ward by week: `favoured` of `n` readings stand at its favoured value, int64[weeks] from `first` (hours)."""

    favoured: Ints
    n: Ints
    first: float


def with_onset(
    problem: Problem, value_tests: Iterable[ValueTests], signals: tuple[Signal, ...]
) -> tuple[Signal, ...]:
    """The signals; a spike that was seen with the week in which its share took a step, where it did."""
    flagged = {
        (s.subject_id, s.label) for s in signals if s.test == "value-spike" and s.outcome is Outcome.SEEN
    }
    weekly_counts = {
        subject: weekly for tests in value_tests for subject, weekly in _weekly(problem, tests, flagged)
    }
    return tuple(
        _turned(s, weekly_counts[s.subject_id, s.label])
        if s.test == "value-spike" and (s.subject_id, s.label) in weekly_counts
        else s
        for s in signals
    )


def _weekly(problem: Problem, tests: ValueTests, subjects: set[Subject]) -> Iterator[tuple[Subject, Weekly]]:
    """The weeks of each ward asked about, from one pass over the readings of the table."""
    named = {s: (problem.wards[s.ward], tests.table.grid.written(s.place)) for s in tests.spikes.first}
    spikes = [s for s, subject in named.items() if subject in subjects]
    if not spikes:
        return
    place = np.full(len(problem.wards), -1, np.int64)
    place[[s.ward for s in spikes]] = [s.place for s in spikes]
    ward = problem.ward[tests.table.which]
    week, first = weeks(problem.readings.time[tests.table.which])
    size = len(problem.wards), int(week.max()) + 1
    favoured = tests.table.place == place[ward]
    counts = crossed(ward[favoured], week[favoured], *size).astype(np.int64)
    n = crossed(ward, week, *size).astype(np.int64)
    yield from ((named[s], Weekly(counts[s.ward], n[s.ward], first)) for s in spikes)


def _turned(signal: Signal, weekly: Weekly) -> Signal:
    used = np.flatnonzero(weekly.n)
    if len(used) < FEWEST_WEEKS:
        return signal
    counts, totals = weekly.favoured[used], weekly.n[used]
    wide = p_prime_chart(counts, totals).sigma_z or 1.0
    change = step(counts, totals, dispersion=max(1.0, wide) ** 2)
    if change is None or change.outcome is not Course.SHIFTED:
        return signal
    first = monday(weekly.first, int(used[change.first]))
    return replace(signal, turned=first, before=change.before, after=change.after)
