"""Times on the full hour: more than the habit of rounding to five minutes explains."""

import numpy as np

from browline.audit.clusters import inflation, variance_between
from browline.audit.excess import Excess
from browline.audit.problem import Problem
from browline.audit.result import Outcome, Signal

PASSED = 0.10
"""Share of times let pass: rounds begin on the hour. Common practice, no source."""
MARKS = 11
"""Marks of five minutes in an hour, besides the full hour."""
POWER_CHANCE = 0.0013498980316300933
"""Chance at which what would have been seen is stated: three standard errors, as for one ward in about seventy."""


def on_the_hour(problem: Problem) -> list[Signal]:
    """Times on the full hour against the other marks of five minutes, ward by ward; probes in place not asked."""
    eligible = ~problem.in_place
    minute = np.rint(problem.readings.hour * 60.0).astype(np.int64) % 60
    full, mark = (minute == 0) & eligible, (minute % 5 == 0) & (minute != 0) & eligible
    wards = len(problem.wards)
    residual = full - mark / MARKS
    between = variance_between(residual, problem.ward_day, problem.ward, wards)
    n, on, marks = problem.per_ward(eligible), problem.per_ward(full), problem.per_ward(mark)
    return [
        _signal(problem.wards[w], int(n[w]), int(on[w]), int(marks[w]), between[w]) for w in np.flatnonzero(n)
    ]


def _signal(ward: str, n: int, on: int, marks: int, between: float) -> Signal:
    if on == n:
        return Signal(
            test="on-the-hour",
            subject_type="ward",
            subject_id=ward,
            n=n,
            outcome=Outcome.NOT_SEEN,
            effect=1.0,
            low=_all(n),
            high=1.0,
            observed=1.0,
            expected=0.0,
            p=0.0,
        )
    expected = max(marks, 1) / MARKS
    e = Excess(
        n=n,
        observed=on,
        expected=expected,
        fit_variance=expected / MARKS,
        inflation=inflation(between, on + expected / MARKS),
    )
    low, high = e.interval
    return Signal(
        test="on-the-hour", subject_type="ward", subject_id=ward, n=n, outcome=Outcome.NOT_SEEN,
        effect=e.proportion, low=low, high=high, observed=on / n, expected=expected / n,
        p=e.p_beyond(PASSED), least=e.least(PASSED, POWER_CHANCE),
    )  # fmt: skip


def _all(n: int) -> float:
    """Lower 95 % limit of a share that is 1 of n: one-sided exact, ``0.025^(1/n)``."""
    return float(0.025 ** (1 / n))
