"""Which unit do the numbers of an instrument come from?

Tenths of °C and tenths of °F converted and rounded again leave different patterns on the chart. The share of an
instrument's numbers that came through conversion is fitted together with a smooth density of its values.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import erfc, sqrt

import numpy as np
from numpy.typing import NDArray

from browline.audit.discovery import FEWEST
from browline.audit.expected_density import Histograms, Shape, fit
from browline.audit.histograms import Table, crossed
from browline.audit.problem import Problem
from browline.audit.recording_grid import converted_weight
from browline.audit.result import Outcome, Signal
from browline.audit.spike import KNOTS_C
from browline.quantities.shares import Z95

Floats = NDArray[np.float64]

HALF, BOTH = 0.5, (0.1, 0.9)
SLIPS = 0.02
"""Weight of a number that conversion never gives: one slip of the hand is not proof by itself."""


@dataclass(frozen=True)
class Pattern:
    """One instrument (or ward) in one unit of the chart.

    - `n`: readings. `converted`: share of its numbers that came through conversion; `error`: standard error.
    """

    name: str
    n: int
    charted_fahrenheit: bool
    converted: float
    error: float

    @property
    def interval(self) -> tuple[float, float]:
        """95 % interval of `converted`, within 0 to 1."""
        return max(0.0, self.converted - Z95 * self.error), min(1.0, self.converted + Z95 * self.error)

    @property
    def shows(self) -> str:
        """The unit most of its numbers come from: C or F; "both" where clearly some of each; else empty."""
        charted, converted_from = ("F", "C") if self.charted_fahrenheit else ("C", "F")
        low, high = self.interval
        if low > BOTH[0] and high < BOTH[1]:
            return "both"
        return charted if high < HALF else converted_from if low > HALF else ""

    @property
    def probability(self) -> float:
        """Chance that most of its numbers come from the unit that seems likelier."""
        return 1.0 - 0.5 * erfc(abs(self.converted - HALF) / (self.error * sqrt(2.0)))


def patterns(problem: Problem) -> tuple[Pattern, ...]:
    """The pattern of each instrument, or of each ward where the charts name no instrument."""
    factor = "instrument" if problem.readings.has("instrument") else "ward"
    return tuple(
        p
        for table in problem.tables
        if table.grid.per_degree == 10
        for p in _patterns(problem, table, factor)
    )


def _patterns(problem: Problem, table: Table, factor: str) -> Iterator[Pattern]:
    by_ward = factor == "ward"
    names = problem.wards if by_ward else problem.readings.names[factor]
    code = (problem.ward if by_ward else problem.readings.codes[factor])[table.which].astype(np.int64)
    known = code >= 0
    size = table.grid.size
    counts = crossed(code[known], table.place[known], len(names), size)
    used = np.flatnonzero(counts.sum(axis=1) >= FEWEST)
    if not len(used):
        return
    histograms = Histograms(
        counts=counts[used],
        shape=Shape.over(table.grid.celsius, KNOTS_C),
        direct=np.ones((1, size)),
        converted=np.maximum(converted_weight(table.grid), SLIPS)[None, :],
        excluded=np.zeros((len(used), size), bool),
    )
    smooth = fit(histograms)
    for i, place in enumerate(used):
        error = float(np.sqrt(smooth.covariance[i, -1, -1]))
        yield Pattern(
            name=names[place],
            n=int(counts[place].sum()),
            charted_fahrenheit=table.grid.fahrenheit,
            converted=float(smooth.mixed[i]),
            error=error,
        )


def signals(problem: Problem, unit_patterns: tuple[Pattern, ...]) -> list[Signal]:
    """A signal for each pattern: seen where it is sure and is not what the register (or the chart) says."""
    kind = "instrument" if problem.readings.has("instrument") else "ward"
    return [_signal(problem, kind, p) for p in unit_patterns]


def _signal(problem: Problem, kind: str, p: Pattern) -> Signal:
    registered = problem.registered.get(p.name, "")
    odd = p.shows in ("C", "F") and bool(registered) and p.shows != registered
    outcome = Outcome.SEEN if odd else Outcome.NOT_SEEN if p.shows else Outcome.TOO_FEW
    low, high = p.interval
    charted = "F" if p.charted_fahrenheit else "C"
    return Signal(
        test="unit-pattern", subject_type=kind, subject_id=p.name, n=p.n, outcome=outcome, effect=p.converted,
        low=low, high=high, label=p.shows,
        denominator=f"values charted in °{charted}", parts={"chance": p.probability},
    )  # fmt: skip
