"""Do two assessors see the same? The table of what both said, and how much of its agreement is more than chance.

    p_o = sum_k p_kk,   p_k+ and p_+k the two margins,   pi_k = (p_k+ + p_+k) / 2
    kappa = (p_o - p_e) / (1 - p_e),   p_e = sum_k p_k+ p_+k                       (Cohen 1960)
    AC1   = (p_o - p_g) / (1 - p_g),   p_g = sum_k pi_k (1 - pi_k) / (q - 1)       (Gwet 2008)

Where nearly everybody is signed off, chance alone agrees nearly always, and kappa can be nought while raw agreement
is 94 in 100: the table, the raw share and both coefficients are given together, because each alone misleads.

Intervals: the raw share has Wilson's. The coefficients have estimate +- 1.96 standard errors, both worked out after
half a pair is added to each cell. Without that addition ten pairs that all agree would give 1.00 to 1.00, and an
interval of 95 % held as seldom as 3 times in 100; with it 93.1 to 99.9 % held (studies/test_agreement_intervals.py).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from browline.quantities.shares import Z95, wilson

FEWEST, FEW = 10, 30
"""Fewer pairs than the first are only counted; fewer than the second are read with a warning. Common practice."""

ONE_SIDED, RAW_HIGH, KAPPA_LOW = 0.8, 0.8, 0.4
"""From this share of one judgement on (mean of the two margins) kappa is low for that reason alone; our judgement."""

ADDED = 0.5


class Outcome(StrEnum):
    """What can be said of the agreement. Every one is an answer."""

    NONE = "none"
    TOO_FEW = "too-few"
    ONE_KIND = "one-kind"
    LOPSIDED = "lopsided"
    TOLD = "told"

    @property
    def sentence(self) -> str:
        """What it means and what to do."""
        return {
            "none": "Nothing has been scored twice. Ask a second assessor to score some demonstrations on their own.",
            "too-few": "Too few to tell. Score more demonstrations twice; ten is a beginning, thirty is better.",
            "one-kind": "Both always said the same one thing, so nothing shows whether they would agree on the other. "
            "Score demonstrations with deliberate errors together.",
            "lopsided": "Nearly all were judged the same way, so this says little about whether two would agree on the "
            "others: score demonstrations with deliberate errors together.",
            "told": "Watch together those on which two differed: the table says which way.",
        }[self.value]


@dataclass(frozen=True)
class Coefficient:
    """An estimate with its standard error and 95 % interval; all None where it cannot be worked out."""

    value: float | None
    se: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Agreement:
    """How far two ways of judging agree.

    `table[i][j]`: pairs that the first judged i and the second j. `raw` with its interval; `kappa`, `ac1`.
    `prevalence`: difference between the two kinds agreed on, `bias`: between the margins, each as a share of
    pairs; None for more than two kinds. `few`: fewer than thirty pairs.
    """

    table: tuple[tuple[int, ...], ...]
    n: int
    outcome: Outcome
    raw: float | None
    raw_low: float
    raw_high: float
    kappa: Coefficient
    ac1: Coefficient
    prevalence: float | None
    bias: float | None

    @property
    def one_sided(self) -> float:
        """The share of the commoner judgement, mean of the two margins; 0 without pairs."""
        margins = (
            sum(row) + sum(column)
            for row, column in zip(self.table, zip(*self.table, strict=True), strict=True)
        )
        return max(margins) / (2 * self.n) if self.n else 0.0

    @property
    def few(self) -> bool:
        """Whether the numbers are to be read with a warning."""
        return self.n < FEW


UNKNOWN = Coefficient(None, None, None, None)


def solve(table: Sequence[Sequence[int]]) -> Agreement:
    """The agreement in a square table of counts, q x q with q of 2 or more.

    Raises `ValueError` for a table that is not square, or holds a negative or broken number.

    >>> a = solve([[118, 5], [2, 0]])
    >>> round(a.raw, 3), round(a.kappa.value, 3), round(a.ac1.value, 3), a.outcome.value
    (0.944, -0.023, 0.941, 'lopsided')
    """
    counts = _checked(table)
    n = int(counts.sum())
    agreed = int(np.trace(counts))
    low, high = wilson(agreed, n)
    raw = agreed / n if n else None
    kappa, ac1 = (_coefficient(counts, method) for method in (cohen, gwet)) if n else (UNKNOWN, UNKNOWN)
    return Agreement(
        table=tuple(tuple(int(x) for x in row) for row in counts),
        n=n,
        outcome=_outcome(counts, raw, kappa),
        raw=raw,
        raw_low=low,
        raw_high=high,
        kappa=kappa,
        ac1=ac1,
        prevalence=_proportion(counts, counts[0, 0] - counts[1, 1]),
        bias=_proportion(counts, counts[0, 1] - counts[1, 0]),
    )


Table = NDArray[np.float64]
Method = Callable[[Table], tuple[float, float] | None]


def cohen(p: Table) -> tuple[float, float] | None:
    """Cohen's kappa of a table of shares, and n times its large-sample variance; None where p_e is 1.

    Source: Fleiss, Cohen & Everitt 1969, Psychol Bull 72:323-327 (formula from memory, checked against statsmodels).
    """
    row, column, agreed = p.sum(1), p.sum(0), np.diag(p)
    by_chance = float(row @ column)
    if by_chance >= 1:
        return None
    kappa = (agreed.sum() - by_chance) / (1 - by_chance)
    diagonal = float(agreed @ (1 - (row + column) * (1 - kappa)) ** 2)
    off = p * (column[:, None] + row[None, :]) ** 2
    off_diagonal = (1 - kappa) ** 2 * float(off.sum() - np.trace(off))
    variance = diagonal + off_diagonal - (kappa - by_chance * (1 - kappa)) ** 2
    return float(kappa), float(variance / (1 - by_chance) ** 2)


def gwet(p: Table) -> tuple[float, float] | None:
    """Gwet's AC1 of a table of shares, and n times its large-sample variance.

    Source: Gwet 2008, Br J Math Stat Psychol 61:29-48 (formulas from memory; the variance is checked against
    one by small changes of the table).
    """
    q = len(p)
    mean, raw = (p.sum(1) + p.sum(0)) / 2, float(np.trace(p))
    by_chance = float(mean @ (1 - mean)) / (q - 1)
    ac1 = (raw - by_chance) / (1 - by_chance)
    agreed = float(np.diag(p) @ (1 - mean)) / (q - 1) - raw * by_chance
    pairs = (1 - (mean[:, None] + mean[None, :]) / 2) ** 2
    every = float((p * pairs).sum()) / (q - 1) ** 2 - by_chance**2
    variance = raw * (1 - raw) - 4 * (1 - ac1) * agreed + 4 * (1 - ac1) ** 2 * every
    return ac1, variance / (1 - by_chance) ** 2


def _coefficient(counts: Table, method: Method) -> Coefficient:
    """The estimate and its standard error from the table as it is, the interval from the one with halves added."""
    as_it_is, n = method(counts / counts.sum()), float(counts.sum())
    if as_it_is is None:
        return UNKNOWN
    fuller = counts + ADDED
    shrunk = method(fuller / fuller.sum())
    if shrunk is None:
        raise ArithmeticError("a table without an empty cell leaves something to chance")
    middle, half = shrunk[0], Z95 * sqrt(shrunk[1] / fuller.sum())
    # Nothing agrees more than wholly or less than not at all.
    return Coefficient(
        as_it_is[0], sqrt(max(0.0, as_it_is[1]) / n), max(-1.0, middle - half), min(1.0, middle + half)
    )


def _checked(table: Sequence[Sequence[int]]) -> Table:
    counts = np.asarray(table, dtype=np.float64)
    if counts.ndim != 2 or counts.shape[0] != counts.shape[1] or len(counts) < 2:
        raise ValueError(f"a table of agreement is square and has two kinds or more, not {counts.shape}")
    if (counts < 0).any() or (counts != np.floor(counts)).any():
        raise ValueError("a table of agreement holds whole counts, none under nought")
    return counts


def _outcome(counts: Table, raw: float | None, kappa: Coefficient) -> Outcome:
    n = counts.sum()
    if raw is None:
        return Outcome.NONE
    if n < FEWEST:
        return Outcome.TOO_FEW
    if kappa.value is None:
        return Outcome.ONE_KIND
    largest = float(np.max((counts.sum(0) + counts.sum(1)) / (2 * n)))
    lopsided = raw >= RAW_HIGH and kappa.value < KAPPA_LOW and largest >= ONE_SIDED
    return Outcome.LOPSIDED if lopsided else Outcome.TOLD


def _proportion(counts: Table, difference: float) -> float | None:
    return float(difference / counts.sum()) if len(counts) == 2 and counts.sum() else None
