"""Demonstrations that two assessors scored on their own: the table, each step, and each assessor's leaning.

The first is whoever recorded the demonstration, the second whoever scored it again; they are different people from
pair to pair, so the table is about the assessors together. An assessor's leaning is looked at only where they and
a colleague differed on the outcome, and never ranked: it is an offer to calibrate together, with the numbers.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import comb

from browline.competency.interrater import Agreement, solve
from browline.competency.judging import DONE, MISSED, NOT_SEEN, NOT_YET, SIGNED_OFF

OUTCOMES = (SIGNED_OFF, NOT_YET)
UNUSUAL = 0.05


@dataclass(frozen=True)
class Score:
    """What one assessor made of a demonstration: the outcome, and the mark of each step."""

    assessor: int
    outcome: str
    steps: Mapping[str, str]


@dataclass(frozen=True)
class Pair:
    """One demonstration scored twice."""

    first: Score
    second: Score


@dataclass(frozen=True)
class StepAgreement:
    """One step: the agreement where both saw it, and in how many pairs only one of the two saw it."""

    step: str
    agreement: Agreement
    unpaired: int

    @property
    def differed(self) -> int:
        """How often one marked it done and the other missed."""
        return self.agreement.table[0][1] + self.agreement.table[1][0]


class Leaning(StrEnum):
    """How an assessor's outcomes stand to those of colleagues who saw the same."""

    TOO_FEW = "too-few"
    NO_PATTERN = "no-pattern"
    SIGNS_MORE = "signs-off-more"
    SIGNS_LESS = "signs-off-less"


@dataclass(frozen=True)
class AssessorLeaning:
    """One assessor: pairs scored with a colleague, those in which they differed, and in how many they signed off."""

    assessor: int
    pairs: int
    differed: int
    signed_off: int
    leaning: Leaning


def outcomes(pairs: Sequence[Pair]) -> Agreement:
    """Agreement on the outcome: signed off or not yet."""
    return solve(_table(OUTCOMES, [(p.first.outcome, p.second.outcome) for p in pairs]))


def steps(pairs: Sequence[Pair]) -> tuple[StepAgreement, ...]:
    """Agreement on each step that somebody marked, those that differed most often first, then in order."""
    named = dict.fromkeys(step for p in pairs for step in (*p.first.steps, *p.second.steps))
    return tuple(sorted((_step(step, pairs) for step in named), key=lambda s: -s.differed))


def leanings(pairs: Sequence[Pair]) -> tuple[AssessorLeaning, ...]:
    """Each assessor's leaning, by number."""
    assessors = sorted({score.assessor for p in pairs for score in (p.first, p.second)})
    return tuple(_leaning(assessor, pairs) for assessor in assessors)


def two_sided(k: int, n: int) -> float:
    """Chance of a split of n differences at least as uneven as k to n - k, were either way as likely.

    The exact sign test (McNemar's, by counting): min(1, 2 P(X <= min(k, n - k))), X binomial of n and one half.

    >>> two_sided(0, 6), two_sided(3, 6)
    (0.03125, 1.0)
    """
    tail = sum(comb(n, i) for i in range(min(k, n - k) + 1)) / 2.0**n
    return min(1.0, 2 * tail)


def _step(step: str, pairs: Sequence[Pair]) -> StepAgreement:
    marks = [(p.first.steps.get(step, NOT_SEEN), p.second.steps.get(step, NOT_SEEN)) for p in pairs]
    unpaired = sum((a == NOT_SEEN) != (b == NOT_SEEN) for a, b in marks)
    return StepAgreement(step, solve(_table((DONE, MISSED), marks)), unpaired)


def _table(kinds: tuple[str, str], outcomes: Sequence[tuple[str, str]]) -> list[list[int]]:
    return [[sum(pair == (a, b) for pair in outcomes) for b in kinds] for a in kinds]


def _leaning(assessor: int, pairs: Sequence[Pair]) -> AssessorLeaning:
    mine = [_mine_first(assessor, p) for p in pairs if assessor in (p.first.assessor, p.second.assessor)]
    differed = [first for first, second in mine if first != second]
    signed_off = differed.count(SIGNED_OFF)
    leaning = _lean(signed_off, len(differed))
    return AssessorLeaning(
        assessor=assessor, pairs=len(mine), differed=len(differed), signed_off=signed_off, leaning=leaning
    )


def _mine_first(assessor: int, pair: Pair) -> tuple[str, str]:
    first, second = (
        (pair.first, pair.second) if pair.first.assessor == assessor else (pair.second, pair.first)
    )
    return first.outcome, second.outcome


def _lean(signed_off: int, differed: int) -> Leaning:
    """Six differences are the fewest of which an uneven split can be unusual: 2 / 2^6 = 0.031."""
    if two_sided(0, differed) > UNUSUAL:
        return Leaning.TOO_FEW
    if two_sided(signed_off, differed) > UNUSUAL:
        return Leaning.NO_PATTERN
    return Leaning.SIGNS_MORE if 2 * signed_off > differed else Leaning.SIGNS_LESS
