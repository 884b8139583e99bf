"""Has a learner shown the skill? The learning-curve CUSUM over attempts in order of time.

    done:    W = log((1 - p0) / (1 - p0 - d)) > 0        missed:  W = log(p0 / (p0 + d)) < 0
    S_0 = 0,   S_t = max(0, S_{t-1} + W_t),   shown at the first t with S_t >= h

p0 is the share of attempts that an adequate learner may miss, p0 + d one that is not adequate. The question is asked
the careful way round: until shown, the learner counts as not yet adequate, and a miss costs more than a success gains.
(One description in print has min for max; with scores that rise on success it could never signal.)

The limit h has no table: it depends on how many attempts are intended. It is set by simulation as the smallest one
that a learner who misses p0 + d of them reaches within that many attempts in at most a share `false` of cases. So the
number is fixed beforehand and never follows the attempts: later ones are counted but cannot show the skill, nor take
back that it was shown.
Source: Biau & Porcher 2010, Stat Med 29:1900-1909 (scores and question; abstract seen, formulas checked by themselves).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import ceil, log

import numpy as np
from numpy.typing import NDArray

PATHS = 20_000


class Outcome(StrEnum):
    """What the attempts show. Every one is an answer."""

    TOO_FEW = "too-few"
    NOT_SHOWN = "not-shown"
    SHOWN = "shown"

    @property
    def sentence(self) -> str:
        """What it means and what to do."""
        return {
            "too-few": "Too few tries to tell: not even all of them done would have shown it. Go on as planned.",
            "not-shown": "Not shown yet by these tries. Practise what was missed, and observe again.",
            "shown": "Shown: somebody who still needs practice would seldom get so far. Keep the usual rechecks.",
        }[self.value]


@dataclass(frozen=True)
class Design:
    """What is asked: p0 in (0, 1), d > 0 with p0 + d < 1, attempts intended (1 or more), false signals allowed.

    The defaults are our judgement, with no source: one attempt in ten may miss something, two in five may not.
    """

    p0: float = 0.10
    d: float = 0.30
    attempts: int = 20
    false: float = 0.05

    def __post_init__(self) -> None:
        if not (0 < self.p0 < self.p0 + self.d < 1 and self.attempts >= 1 and 0 < self.false < 1):
            raise ValueError(
                f"{self} asks nothing: 0 < p0 < p0 + d < 1, attempts of 1 or more, 0 < false < 1"
            )

    @property
    def gain(self) -> float:
        """The score of an attempt done."""
        return log((1 - self.p0) / (1 - self.p0 - self.d))

    @property
    def loss(self) -> float:
        """The score of an attempt missed, under nought."""
        return log(self.p0 / (self.p0 + self.d))


@dataclass(frozen=True)
class Limit:
    """The limit h, and how often it is reached within the attempts intended: by one not adequate, by one adequate.

    `h` is None where even an unbroken run of successes is too likely by chance: so many attempts cannot show it.
    """

    h: float | None
    false: float
    power: float
    paths: int


@dataclass(frozen=True)
class Curve:
    """The score after each attempt intended, and at which (from 1) the limit was first reached, and what that says.

    `later`: attempts after the last intended, which say nothing either way.
    """

    scores: tuple[float, ...]
    shown_at: int | None
    outcome: Outcome
    later: int = 0


def limit(design: Design, rng: np.random.Generator, paths: int = PATHS) -> Limit:
    """The limit for this design by simulation of `paths` learners who are not adequate, then as many who are."""
    bad = peaks(design, design.p0 + design.d, rng, paths)
    levels, counts = np.unique(bad, return_counts=True)
    reached = np.cumsum(counts[::-1])[::-1] / paths
    allowed = levels[(reached <= design.false) & (levels > 0)]
    if not len(allowed):
        return Limit(None, 0.0, 0.0, paths)
    h = float(allowed[0])
    good = peaks(design, design.p0, rng, paths)
    return Limit(h, float(np.mean(bad >= h)), float(np.mean(good >= h)), paths)


def peaks(design: Design, miss: float, rng: np.random.Generator, paths: int) -> NDArray[np.float64]:
    """The highest score each of `paths` learners reaches who misses a share `miss` of the attempts.

    Counts since the last nought are kept, not sums, so that equal scores are equal however they came about.
    """
    done, missed, peak = np.zeros(paths), np.zeros(paths), np.zeros(paths)
    for _ in range(design.attempts):
        misses = rng.random(paths) < miss
        done, missed = done + ~misses, missed + misses
        score = done * design.gain + missed * design.loss
        fallen = score <= 0
        done[fallen] = missed[fallen] = score[fallen] = 0
        peak = np.maximum(peak, score)
    return peak


def shortest(design: Design, h: float) -> int:
    """How many successes in a row reach the limit from nought.

    >>> shortest(Design(0.1, 0.1), 1.25), shortest(Design(0.1, 0.1), 2.0)
    (11, 17)
    """
    return ceil(h / design.gain - 1e-9)


def solve(attempts: Sequence[bool], design: Design, threshold: Limit) -> Curve:
    """The curve of attempts in order of time, true where done, against the limit of the design.

    >>> solve([True] * 30, Design(), Limit(3.7, 0.05, 0.9, 1)).shown_at
    10
    """
    scores = _scores(attempts[: design.attempts], design)
    later = max(0, len(attempts) - design.attempts)
    if threshold.h is None or len(attempts) < shortest(design, threshold.h):
        return Curve(scores, None, Outcome.TOO_FEW, later)
    over = (t for t, score in enumerate(scores, start=1) if score >= threshold.h - 1e-9)
    shown_at = next(over, None)
    return Curve(scores, shown_at, Outcome.NOT_SHOWN if shown_at is None else Outcome.SHOWN, later)


def _scores(attempts: Sequence[bool], design: Design) -> tuple[float, ...]:
    scores, score = [], 0.0
    for done in attempts:
        score = max(0.0, score + (design.gain if done else design.loss))
        scores.append(score)
    return tuple(scores)
