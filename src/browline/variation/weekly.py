"""Week by week: how an instrument or a ward read against the rest, for the picture behind a finding.

With H and g the information and score of a subject's weekly means (residuals.py), the means under a flat-ish
prior N(0, PRIOR_SD^2) are ``m = (H + I / PRIOR_SD^2)^-1 g`` with variances on the inverse's diagonal.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime

import numpy as np

from browline.variation.design import Floats
from browline.variation.problem import Problem
from browline.variation.residuals import Cells, cells_by_level, residuals
from browline.variation.result import Z95
from browline.variation.since import WEEK_HOURS, weeks
from browline.variation.tables import Fitted

PRIOR_SD = 2.0


@dataclass(frozen=True)
class Week:
    """One week of one subject: its first day, readings n, mean against the rest in °C with its 95 % interval."""

    week: date
    n: int
    mean_c: float
    low_c: float
    high_c: float


def weekly(problem: Problem, fitted: Fitted, name: str) -> dict[str, tuple[Week, ...]]:
    """The weeks of every subject of factor `name` ("instrument", "ward"), by the subject's name."""
    design = fitted.model.design
    if name not in design.slices():
        return {}
    week, first = weeks(problem.readings.time)
    kind = fitted.kinds[name]
    left = residuals(design, fitted.fit)
    own = fitted.fit.at.u[design.slices()[name]]
    found: dict[str, list[Week]] = {}
    for level, cells in cells_by_level(
        design, fitted.fit, left, kind.codes[design.order], week[design.order], own
    ):
        subject = problem.readings.names[name][int(kind.subject[level])]
        found.setdefault(subject, []).extend(_weeks(cells, first))
    return {subject: tuple(sorted(made, key=lambda w: w.week)) for subject, made in found.items()}


def _weeks(cells: Cells, first: float) -> list[Week]:
    covariance = np.linalg.inv(cells.information + np.eye(len(cells.label)) / PRIOR_SD**2)
    mean: Floats = covariance @ cells.score
    half = Z95 * np.sqrt(np.diag(covariance))
    return [
        Week(_day(first + k * WEEK_HOURS), int(n), float(m), float(m - h), float(m + h))
        for k, n, m, h in zip(cells.label, cells.n, mean, half, strict=True)
    ]


def _day(hours: float) -> date:
    return datetime.fromtimestamp(hours * 3600, UTC).date()
