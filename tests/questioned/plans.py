"""What is read, when, with what, and what is answered: a plausible mix of made questioned readings, as columns.

A forehead scan comes first; then repeats, a second scanner, behind the ear, or another site, minutes to hours apart.
Answers are drawn before the truth, so that what they say about the odds holds exactly in the model's own world.
"""

from dataclasses import dataclass, replace

import numpy as np

from browline.questioned.problem import AGES, ANSWERS, Problem, Reading
from browline.questioned.published import published

PRIORS = published()
SITES = tuple(PRIORS.sites)
QUESTIONS = tuple(ANSWERS)
SAID = ("unknown", "yes", "no")
SAID_CHANCES = (0.40, 0.08, 0.52)
COUNTS = {2: 0.35, 3: 0.30, 4: 0.18, 5: 0.10, 6: 0.07}
GAPS = (1, 2, 5, 10, 15, 30, 60)
SECOND = {
    "temporal": 0.40, "behind-ear": 0.05, "oral": 0.15, "rectal": 0.12, "axillary": 0.12, "tympanic": 0.12,
    "bladder": 0.03, "oesophageal": 0.01,
}  # fmt: skip
AGE_CHANCES = {
    "under-3-months": 0.04,
    "3-12-months": 0.06,
    "1-17-years": 0.15,
    "adult": 0.5,
    "65-up": 0.25,
}
MOST = max(COUNTS)
REPEAT = MOST
SCANNERS = ("A", "B")
SCANNED = ("temporal", "behind-ear", "femoral", "chest-side")
ASKED = {w: k for k, w in enumerate(QUESTIONS)}


@dataclass(frozen=True)
class Plans:
    """Columns of n cases; readings [n, MOST + 1] from the oldest, the last a scan repeated now that is not told.

    `site` indexes SITES, `minutes` before now, `scanner` indexes SCANNERS (-1: the site's own instrument), `there`
    whether there is such a reading; `age` indexes AGES; `answers` [n, QUESTIONS] index SAID; `told` the same as told.
    """

    site: np.ndarray
    minutes: np.ndarray
    scanner: np.ndarray
    prepared: np.ndarray
    there: np.ndarray
    age: np.ndarray
    answers: np.ndarray
    told: np.ndarray

    def __len__(self):
        return len(self.age)

    def problem(self, i, values, **more):
        """The problem of case i with these values."""
        said = {QUESTIONS[q]: SAID[a] for q, a in enumerate(self.told[i]) if a}
        readings = tuple(self._reading(i, k, values[k]) for k in np.flatnonzero(self.there[i, :MOST]))
        return Problem(readings, said, tuple(AGES)[self.age[i]], **more)

    def _reading(self, i, k, value):
        scanner = SCANNERS[self.scanner[i, k]] if self.scanner[i, k] >= 0 else ""
        site = SITES[self.site[i, k]]
        return Reading(float(value), site, float(self.minutes[i, k]), scanner, bool(self.prepared[i, k]))


def plans(n, rng, untrue=0.0):
    """A mix of n plans."""
    count = rng.choice(list(COUNTS), n, p=list(COUNTS.values()))
    there = np.arange(MOST) < count[:, None]
    site = rng.choice([SITES.index(s) for s in SECOND], (n, MOST), p=list(SECOND.values()))
    site[:, 0] = SITES.index("temporal")
    scanned = np.isin(site, [SITES.index(s) for s in SCANNED])
    scanner = np.where(scanned, (rng.random((n, MOST)) < 0.5).astype(int), -1)
    scanner[:, 0] = 0
    prepared = scanned & (rng.random((n, MOST)) < 0.4)
    prepared[:, 0] = False
    answers = rng.choice(3, (n, len(QUESTIONS)), p=SAID_CHANCES)
    guess = rng.choice(3, answers.shape, p=(0.2, 0.1, 0.7))
    with_repeat = _with_repeat(site, _minutes(there, rng), scanner, prepared, there)
    return Plans(
        *with_repeat,
        rng.choice(len(AGES), n, p=[AGE_CHANCES[a] for a in AGES]),
        answers,
        np.where(rng.random(answers.shape) < untrue, guess, answers),
    )


def _minutes(there, rng):
    """Whole minutes before now; the newest reading up to ten minutes ago, gaps among GAPS."""
    gap = rng.choice(GAPS, there.shape)
    gap[:, 0] = rng.integers(0, 11, len(there))
    order = np.cumsum(gap, axis=1)
    last = there.sum(axis=1, keepdims=True) - 1
    return np.take_along_axis(order, np.maximum(last - np.arange(there.shape[1]), 0), axis=1)


def _with_repeat(site, minutes, scanner, prepared, there):
    """The same columns with a scan of the forehead by the first scanner, now, behind the others."""
    one = np.ones((len(site), 1), int)
    added = (site[:, :1], 0 * one, 0 * one, one < 0, one > 0)
    return [np.hstack(pair) for pair in zip((site, minutes, scanner, prepared, there), added, strict=True)]


def same(problem, n):
    """The plan of one problem n times; its readings from the oldest, in whole minutes, its scanners among SCANNERS."""
    readings = sorted(problem.readings, key=lambda r: -r.minutes_ago)
    k = len(readings)
    site = [SITES.index(r.site) for r in readings] + [0] * (MOST - k)
    minutes = [int(r.minutes_ago) for r in readings] + [0] * (MOST - k)
    scanner = [SCANNERS.index(r.instrument) if r.instrument else -1 for r in readings] + [-1] * (MOST - k)
    prepared = [r.prepared for r in readings] + [False] * (MOST - k)
    columns = [np.tile(column, (n, 1)) for column in (site, minutes, scanner, prepared, np.arange(MOST) < k)]
    answers = np.tile([SAID.index(problem.answer(q)) for q in QUESTIONS], (n, 1))
    made = Plans(*_with_repeat(*columns), np.full(n, list(AGES).index(problem.age)), answers, answers)
    there = made.there.copy()
    there[:, REPEAT] = False
    return replace(made, there=there)
