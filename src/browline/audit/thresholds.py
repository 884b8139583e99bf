"""Habits held against a line: the share itself is the matter, not its distance from chance.

The lines are common practice, no source: set so that an ordinary ward of a careful hospital stays quiet.
"""

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from browline.audit.clusters import variance_between
from browline.audit.discovery import MOST, quantile
from browline.audit.excess import POWER_Z
from browline.audit.pairs import patient_pairs
from browline.audit.problem import Problem
from browline.audit.result import Outcome, Signal
from browline.audit.tails import binomial_upper_tail
from browline.quantities.shares import wilson_around

Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]

LINES = {
    "site-missing": 0.05,
    "site-unsuited": 0.05,
    "repeat-too-soon": 0.005,
    "entry-delay": 0.10,
    "pace": 0.02,
    "words": 0.10,
    "implausible": 0.005,
    "instrument-unit": 0.01,
}
YOUNG_YEARS = 5
UNSUITED_YOUNG = ("oral", "rectal")
"""NICE NG143, 1.1.1: under 5 years do not routinely take temperatures by mouth or rectum. Local policy decides."""
TOO_SOON_HOURS = 30 / 3600
DELAY_HOURS = 1.0
PACE_PATIENTS, PACE_HOURS = 3, 1 / 60


def by_ward(problem: Problem) -> list[Signal]:
    """Every signal of charting habits, ward by ward.

    Where no reading at all says its site, the file lacks it, not the ward: nothing is asked.
    """
    lost = problem.site_missing
    eligible = np.full(len(lost), not lost.all())
    out = _marked(problem, "site-missing", lost, eligible)
    young = problem.charted.age < YOUNG_YEARS
    out += _marked(problem, "site-unsuited", _site_in(problem, UNSUITED_YOUNG), young)
    out += _marked(problem, "repeat-too-soon", *_too_soon(problem))
    keyed = ~np.isnan(problem.charted.delay)
    out += _marked(problem, "entry-delay", problem.charted.delay > DELAY_HOURS, keyed)
    out += _marked(problem, "pace", *_pace(problem))
    return out + _aside(problem)


def by_instrument(problem: Problem) -> list[Signal]:
    """Values charted as if in the other unit: by instrument; by ward where the charts name no instrument."""
    test, slipped = "instrument-unit", problem.charted.slipped
    if not problem.readings.has("instrument"):
        return _marked(problem, test, slipped, None)
    code = problem.readings.codes["instrument"].astype(np.int64)
    known = code >= 0
    names = problem.readings.names["instrument"]
    n = np.bincount(code[known], minlength=len(names))
    count = np.bincount(code[known & slipped], minlength=len(names))
    return [_against(test, "instrument", name, c, m) for name, c, m in zip(names, count, n, strict=True) if m]


def _marked(problem: Problem, test: str, mark: Flags, among: Flags | None) -> list[Signal]:
    """The share of marked readings (of those `among`) on each ward, days taken together."""
    which = np.flatnonzero(among) if among is not None else np.arange(len(mark))
    ward, wards = problem.ward[which], len(problem.wards)
    n = np.bincount(ward, minlength=wards)
    event = mark[which].astype(np.float64)
    count = np.bincount(ward, event, wards)
    proportion = count / np.maximum(n, 1)
    between = variance_between(event - proportion[ward], problem.ward_day[which], ward, wards)
    binomial_variance = n * np.maximum(proportion * (1 - proportion), 1e-12)
    inflation = np.clip(between / np.maximum(binomial_variance, 1e-9), 1.0, np.maximum(n / 4, 1.0))
    charting = problem.per_ward() > 0
    return [
        _against(test, "ward", problem.wards[w], count[w], n[w], float(inflation[w]))
        if n[w]
        else Signal(
            test=test, subject_type="ward", subject_id=problem.wards[w], n=0, outcome=Outcome.NOT_ASKED
        )
        for w in np.flatnonzero(charting)
    ]


def _against(test: str, kind: str, name: str, count: float, n: int, inflation: float = 1.0) -> Signal:
    """A share with its interval, and the chance of it on a ward just at the line."""
    line, effective = LINES[test], n / inflation
    low, high = wilson_around(count / n, effective)
    p = binomial_upper_tail(count / inflation, effective, line)
    least = line + (quantile(MOST) + POWER_Z) * sqrt(line * (1 - line) / effective)
    return Signal(
        test=test, subject_type=kind, subject_id=name, n=int(n), outcome=Outcome.NOT_SEEN,
        effect=float(count / n), low=max(0.0, low), high=min(1.0, high),
        p=p, least=least, parts={"count": float(count)},
    )  # fmt: skip


def _site_in(problem: Problem, sites: tuple[str, ...]) -> Flags:
    chosen = [i for i, name in enumerate(problem.readings.names["site"]) if name in sites]
    out: Flags = np.isin(problem.readings.codes["site"], chosen)
    return out


def _too_soon(problem: Problem) -> tuple[Flags, Flags]:
    """(repeats of one patient within 30 s, readings asked): none asked where times carry no seconds."""
    soon = np.zeros(len(problem.readings), bool)
    seconds = np.rint(problem.readings.time * 3600.0) % 60
    if not seconds.any():
        return soon, soon
    pairs = patient_pairs(problem)
    soon[pairs.later[pairs.hours <= TOO_SOON_HOURS + 1e-9]] = True
    return soon, problem.who >= 0


def _pace(problem: Problem) -> tuple[Flags, Flags]:
    """(readings of a person who charted three patients within a minute, readings asked).

    Times on a mark of five minutes are rounded, so they say nothing about pace and are not asked; a probe
    in place is read at a glance, so its readings are not asked either.
    """
    minute = np.rint(problem.readings.hour * 60.0).astype(np.int64) % 60
    person = problem.readings.codes["person"].astype(np.int64)
    eligible = (person >= 0) & (problem.who >= 0) & (minute % 5 != 0) & ~problem.in_place
    order = np.flatnonzero(eligible)
    order = order[np.argsort(person[order], kind="stable")]
    fast = np.zeros(len(problem.readings), bool)
    if len(order) >= PACE_PATIENTS:
        a, b, c = order[:-2], order[1:-1], order[2:]
        same_person = (person[a] == person[c]) & (
            problem.readings.time[c] - problem.readings.time[a] <= PACE_HOURS + 1e-9
        )
        who = problem.who
        burst = same_person & (who[a] != who[b]) & (who[b] != who[c]) & (who[a] != who[c])
        for member in (a, b, c):
            fast[member[burst]] = True
    return fast, eligible


def _aside(problem: Problem) -> list[Signal]:
    """Rows that hold words, and values no patient can have, as shares of all rows of the ward."""
    n = dict(zip(problem.wards, problem.per_ward(), strict=True))
    out = []
    for row in problem.aside:
        taken = int(n.get(row.ward, 0))
        for test, count in (("words", row.words), ("implausible", row.implausible)):
            if taken:
                out.append(_against(test, "ward", row.ward, count, taken + row.words + row.implausible))
    return out
