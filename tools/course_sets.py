"""Writes the small sets on which the Ornstein-Uhlenbeck course is checked against R: python tools/course_sets.py

course_a.csv   stays x sites x instruments x people, one care group
course_b.csv   stays x sites x instruments, two care groups with spreads of their own
course_c.csv   a course and nothing else: no error, no patient, one site; for nlme's corCAR1

Times are whole minutes since the stay began. In A and B some readings follow another within 30 minutes, and some
stand at exactly the time of another of the same stay. Values are charted at 0.1 degrees, except in C.
"""

import csv
from pathlib import Path

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

ORACLES = Path(__file__).parents[1] / "tests" / "oracles"
Columns = dict[str, NDArray[np.generic]]
LONGEST = 5 * 24 * 60
SITES, OFFSETS, ERRORS = ("forehead", "oral", "rectal"), (0.0, 0.15, 0.35), (0.30, 0.18, 0.12)
SHARES = (0.5, 0.25, 0.25)
TAU_MINUTES = 9 * 60
PATIENT, COURSE, PATIENT_SITE, INSTRUMENT, PERSON = 0.35, 0.45, 0.20, 0.15, 0.10


def main() -> None:
    """Write the three sets."""
    write("course_a.csv", crossed(np.random.default_rng(5), stays=60, people=12, groups=("ward",)))
    write("course_b.csv", crossed(np.random.default_rng(6), stays=90, people=0, groups=("ward", "intensive")))
    write("course_c.csv", course_only(np.random.default_rng(7)))


def write(name: str, columns: Columns) -> None:
    """One set as a CSV."""
    with (ORACLES / name).open("w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(columns)
        out.writerows(zip(*(column.tolist() for column in columns.values()), strict=True))


def crossed(rng: Generator, *, stays: int, people: int, groups: tuple[str, ...]) -> Columns:
    """Readings of `stays` stays at three sites with eight instruments; `people` may be 0."""
    minutes = [times(rng) for _ in range(stays)]
    stay, minute = np.repeat(np.arange(stays), [len(m) for m in minutes]), np.concatenate(minutes)
    n, group = len(stay), np.arange(stays) % len(groups)
    site, instrument = rng.choice(3, n, p=SHARES), rng.integers(0, 8, n)
    clock = (rng.integers(0, 24 * 60, stays)[stay] + minute) % (24 * 60)
    wider = np.where(group == 0, 1.0, 1.5)
    patient = rng.normal(0, PATIENT, stays) * wider
    path = np.concatenate([course(rng, m) * w for m, w in zip(minutes, wider, strict=True)])
    value = (
        37.0 + np.array(OFFSETS)[site] + 0.25 * np.cos(2 * np.pi * (clock / 60 - 17) / 24) + patient[stay] + path
        + rng.normal(0, PATIENT_SITE, (stays, 3))[stay, site] + rng.normal(0, INSTRUMENT, 8)[instrument]
        + rng.normal(0, 1, n) * np.array(ERRORS)[site]
    )  # fmt: skip
    columns: Columns = {"stay": stay, "minute": minute, "clock": clock, "site": np.array(SITES)[site]}
    columns["instrument"] = np.char.add("T", (instrument + 1).astype(str))
    if people:
        person = rng.integers(0, people, n)
        value += rng.normal(0, PERSON, people)[person]
        columns["person"] = np.char.add("N", (person + 1).astype(str))
    if len(groups) > 1:
        columns["group"] = np.array(groups)[group[stay]]
    return columns | {"value": np.round(value, 1)}


def times(rng: Generator) -> NDArray[np.int64]:
    """3 to 9 times of one stay in minutes: most far apart, some within half an hour, some the same minute."""
    n = int(rng.integers(3, 10))
    minute = np.sort(rng.integers(0, LONGEST, n))
    for i in range(1, n):
        chance = rng.random()
        if chance < 0.06:
            minute[i] = minute[i - 1]
        elif chance < 0.26:
            minute[i] = minute[i - 1] + rng.integers(1, 30)
    return np.sort(minute)


def course(rng: Generator, minute: NDArray[np.int64]) -> NDArray[np.float64]:
    """An Ornstein-Uhlenbeck path at sorted times: sd `COURSE`, time constant `TAU_MINUTES`."""
    path = np.empty(len(minute))
    path[0] = rng.normal(0, COURSE)
    for i, gap in enumerate(np.diff(minute)):
        kept = np.exp(-gap / TAU_MINUTES)
        path[i + 1] = kept * path[i] + rng.normal(0, COURSE * np.sqrt(1 - kept**2))
    return path


def course_only(rng: Generator) -> Columns:
    """50 stays of a bare course about 37, no two readings at one time."""
    minutes = [np.sort(rng.choice(LONGEST, int(rng.integers(4, 10)), replace=False)) for _ in range(50)]
    stay, minute = np.repeat(np.arange(50), [len(m) for m in minutes]), np.concatenate(minutes)
    value = 37.0 + rng.normal(0, PATIENT, 50)[stay] + np.concatenate([course(rng, m) for m in minutes])
    return {"stay": stay, "minute": minute, "value": np.round(value, 4)}


if __name__ == "__main__":
    main()
