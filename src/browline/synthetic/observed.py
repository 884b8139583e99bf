"""Return demonstrations of the last weeks: who was seen by whom, step by step, and some scored by a second assessor.

Steps are learnt one at a time: the chance that a step is missed falls with every try. A second assessor agrees
with the first on most steps and is a little more lenient. The chances are our assumptions.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np

from browline.synthetic.arrays import Generator
from browline.synthetic.people import People

ASSESSORS, SHARE_SEEN, WEEKS, TRIES = 4, 0.35, 8, 3
MISSED_FIRST, FALLS = 0.045, 0.45
SCORED_TWICE, SECOND_LENIENT, SECOND_STRICT = 0.4, 0.25, 0.015
DONE, MISSED = "done", "missed"


@dataclass(frozen=True)
class ObservedAttempt:
    """One demonstration: indices of the person and of the assessors, the local time, the marks by step.

    `second` is a second assessor who was there, `again` one who scored the same on their own, with `scores`.
    """

    person: int
    assessor: int
    time: datetime
    marks: dict[str, str]
    second: int | None = None
    again: int | None = None
    scores: dict[str, str] | None = None


def assessors(people: People, seed: int = 1) -> list[int]:
    """The educator and a few registered nurses of different wards who may assess."""
    rng = np.random.default_rng(np.random.SeedSequence([seed, 11]))
    nurses = rng.permutation(np.flatnonzero(people.role == "Registered nurse"))
    wards = np.unique(people.ward[nurses], return_index=True)[1]
    return [people.educator, *(int(k) for k in nurses[np.sort(wards)][: ASSESSORS - 1])]


def observed(
    people: People, steps: Sequence[str], critical: Sequence[str], last_day: date, *, seed: int = 1
) -> list[ObservedAttempt]:
    """What was observed in the weeks up to `last_day`, by time; tries of one person lie on different days."""
    rng = np.random.default_rng(np.random.SeedSequence([seed, 12]))
    able = assessors(people, seed)
    staff = np.setdiff1d(np.arange(len(people) - 1), able)
    chosen = rng.permutation(staff)[: round(SHARE_SEEN * len(staff))]
    attempts = [
        attempt for person in chosen for attempt in _tries(int(person), able, steps, critical, last_day, rng)
    ]
    return sorted(attempts, key=lambda attempt: (attempt.time, attempt.person))


def _tries(
    person: int,
    able: list[int],
    steps: Sequence[str],
    critical: Sequence[str],
    last_day: date,
    rng: Generator,
) -> list[ObservedAttempt]:
    """One person's tries until one is whole or the last of them is over."""
    day = last_day - timedelta(days=int(rng.integers(1, 7 * WEEKS)))
    out: list[ObservedAttempt] = []
    for attempt in range(TRIES):
        marks = {s: MISSED if rng.random() < MISSED_FIRST * FALLS**attempt else DONE for s in steps}
        first, second = (able[int(k)] for k in rng.choice(len(able), 2, replace=False))
        time = datetime(day.year, day.month, day.day, int(rng.integers(8, 20)), int(rng.integers(60)))
        last = attempt == TRIES - 1
        twice = not last and rng.random() < SCORED_TWICE
        scores = _second_score(marks, rng) if twice else None
        out.append(
            ObservedAttempt(
                person=person,
                assessor=first,
                time=time,
                marks=marks,
                second=second if last else None,
                again=second if twice else None,
                scores=scores,
            )
        )
        day += timedelta(days=int(rng.integers(2, 6)))
        if all(marks[s] == DONE for s in critical) or day > last_day:
            break
    return out


def _second_score(marks: dict[str, str], rng: Generator) -> dict[str, str]:
    lenient, strict = rng.random(len(marks)) < SECOND_LENIENT, rng.random(len(marks)) < SECOND_STRICT
    return {
        step: DONE if mark == MISSED and easy else MISSED if mark == DONE and hard else mark
        for (step, mark), easy, hard in zip(marks.items(), lenient, strict, strict=True)
    }
