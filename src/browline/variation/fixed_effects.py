"""The fixed columns: level, sites, daily rhythm, calendar, age, and how far lenses sink between cleanings.

What belongs to the patient (level, rhythm, calendar, age) rises with the slope of the site it is read at; what
belongs to a site or an instrument does not.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.variation.arrays import Floats, independent_columns
from browline.variation.days_since_cleaning import SinceCleaning
from browline.variation.problem import Problem, rhythm
from browline.variation.retakes.splines import NaturalSpline

KNOT_DAYS, MOST_KNOTS, SHORTEST_CALENDAR = 60.0, 7, 90.0
CHILD, OLD = 16.0, 60.0
BANDS = ("under 16", "60 or older", "age not said")


@dataclass(frozen=True)
class Fixed:
    """Columns `x` float64[n, p] of full rank; `meaning` of each, (kind, name); `scaled` bool[p]: of the patient.

    `dropped`: sentences on what the readings cannot hold.
    """

    x: Floats
    meaning: tuple[tuple[str, str], ...]
    scaled: NDArray[np.bool_]
    dropped: tuple[str, ...]


def fixed(problem: Problem, since_cleaning: SinceCleaning | None) -> Fixed:
    """The fixed columns of these readings; a column made up of those before it is left out."""
    parts: list[tuple[str, tuple[str, ...], Floats]] = [
        ("mean", ("",), np.ones((len(problem), 1))),
        ("site", problem.sites[1:], _sites(problem)),
        ("rhythm", tuple("1234"), rhythm(problem.readings.hour)),
        _named("calendar", _calendar(problem.readings.time)),
        ("age", BANDS, _ages(problem)),
    ]
    if since_cleaning is not None:
        parts.append(("drift", ("",), since_cleaning.days[:, None]))
    x = np.column_stack([part for _, _, part in parts])
    meaning = [(kind, name) for kind, names, _ in parts for name in names]
    keep = independent_columns(x)
    lost = any(kind == "rhythm" and not k for (kind, _), k in zip(meaning, keep, strict=True))
    used = tuple(m for m, k in zip(meaning, keep, strict=True) if k)
    scaled = np.array([kind not in ("site", "drift") for kind, _ in used])
    dropped = ("Too few different hours are charted to tell the daily rhythm.",) if lost else ()
    return Fixed(x[:, keep], used, scaled, dropped)


def _named(kind: str, columns: Floats) -> tuple[str, tuple[str, ...], Floats]:
    return kind, tuple(str(k + 1) for k in range(columns.shape[1])), columns


def _sites(problem: Problem) -> Floats:
    return np.asarray(problem.site[:, None] == np.arange(1, max(len(problem.sites), 1)), float)


def _calendar(time: Floats) -> Floats:
    """A natural spline of the date with a knot every two months; no columns for a short export."""
    days = (time.max() - time.min()) / 24.0 if len(time) else 0.0
    if days < SHORTEST_CALENDAR:
        return np.zeros((len(time), 0))
    knots = np.linspace(time.min(), time.max(), min(MOST_KNOTS, 2 + int(days / KNOT_DAYS)))
    columns = NaturalSpline(knots).columns(time)[:, 1:]
    return np.asarray(columns - columns.mean(0))


def _ages(problem: Problem) -> Floats:
    """Children, the old, and those whose age is not said, against everybody else."""
    charted = problem.readings.charted
    if charted is None or not np.isfinite(charted.age).any():
        return np.zeros((len(problem), len(BANDS)))
    age = charted.age
    return np.column_stack([age < CHILD, age >= OLD, ~np.isfinite(age)]).astype(float)
