"""The roster of the coming weeks, as a ward office hands it out: staff down, days across, a code in each cell.

Twelve-hour staff work three long days or nights a week, others five shifts of eight hours; those who do both
change by the week. A few float to another ward, which the cell says after the code; a few are on long leave and
listed all the same. How many of each is our assumption.
"""

from datetime import date, timedelta

import numpy as np

from browline.synthetic.arrays import Generator, Table, Texts, texts
from browline.synthetic.people import DAYS, NIGHTS, People
from browline.synthetic.wards import Wards

WEEK = 7
EIGHT_HOURS, LONG_LEAVE, LEAVE_WEEK, FLOATS = 0.25, 0.02, 0.06, 0.04
OFF, LEAVE = "-", "AL"


def upcoming_roster(people: People, wards: Wards, first_day: date, *, weeks: int = 4, seed: int = 1) -> Table:
    """The roster from `first_day` (a Monday) on: staff number, name, role, ward, then a column for each day.

    The educator, who is the last of `people`, is not on it.
    """
    rng = np.random.default_rng(np.random.SeedSequence([seed, first_day.toordinal()]))
    staff = len(people) - 1
    cells = np.array([_weeks(int(people.pattern[k]), weeks, rng) for k in range(staff)], dtype=object)
    _float(cells, people, wards, rng)
    days = [first_day + timedelta(days=d) for d in range(WEEK * weeks)]
    return {
        "Staff no": people.id[:-1],
        "Name": people.name[:-1],
        "Role": people.role[:-1],
        "Ward": wards.name[people.ward[:-1]],
        **{day.isoformat(): texts(cells[:, d].tolist()) for d, day in enumerate(days)},
    }


def _weeks(pattern: int, weeks: int, rng: Generator) -> list[str]:
    """One person's codes, day by day."""
    if rng.random() < LONG_LEAVE:
        return [LEAVE] * (WEEK * weeks)
    eight = rng.random() < EIGHT_HOURS and pattern != NIGHTS
    out: list[str] = []
    for _ in range(weeks):
        if rng.random() < LEAVE_WEEK:
            out += [LEAVE] * WEEK
        else:
            nights = pattern == NIGHTS or (pattern != DAYS and rng.random() < 0.4)
            out += _week(nights, eight, rng)
    return out


def _week(nights: bool, eight: bool, rng: Generator) -> list[str]:
    week = np.full(WEEK, OFF, dtype=object)
    worked = rng.permutation(WEEK)[: 5 if eight and not nights else 3]
    week[worked] = "N" if nights else rng.choice(("E", "L")) if eight else "LD"
    return [str(code) for code in week]


def _float(cells: Texts, people: People, wards: Wards, rng: Generator) -> None:
    """Send some shifts to another ward; the cell says which."""
    working = np.argwhere((cells != OFF) & (cells != LEAVE))
    for k, d in working[rng.random(len(working)) < FLOATS]:
        away = int(rng.integers(len(wards) - 1))
        ward = wards.name[away + (away >= people.ward[k])]
        cells[k, d] = f"{cells[k, d]} ({ward})"
