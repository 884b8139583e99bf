"""Week by week: how an instrument or a ward read against the rest, for the picture behind a finding.

With H and g the information and score of a subject's weekly means (residuals.py), the means under a flat-ish
prior N(0, PRIOR_SD^2) are ``m = (H + I / PRIOR_SD^2)^-1 g`` with variances on the inverse's diagonal. Intervals
take the larger of that and the robust variance (robust.py), stays being the clusters. Means are shown against
the same middle of the others as the subject's effect (effects.py).
"""

from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy import sparse

from browline.variation.design import Codes, Design, Floats
from browline.variation.effects.contrasts import contrasts
from browline.variation.problem import Problem
from browline.variation.residuals import Cells, Residuals, cells_by_level, residuals
from browline.variation.result import Z95
from browline.variation.tables import Fitted
from browline.weeks import monday, weeks

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
    part = design.slices()[name]
    own = fitted.fit.at.u[part]
    middle = own - contrasts(design, fitted.fit, fitted.kinds).offset[part]
    codes, label = kind.codes[design.order], week[design.order]
    scores, width = _stay_scores(design, left, codes, label), int(label.max()) + 1
    found: dict[str, list[Week]] = {}
    for level, cells in cells_by_level(design, fitted.fit, left, codes, label, own):
        doubt = scores[:, level * width + cells.label] / fitted.fit.sigma**2
        subject = problem.readings.names[name][int(kind.subject[level])]
        found.setdefault(subject, []).extend(_weeks(cells, first, float(middle[level]), doubt))
    return {subject: tuple(sorted(made, key=lambda w: w.week)) for subject, made in found.items()}


def _stay_scores(design: Design, left: Residuals, codes: Codes, label: Codes) -> sparse.csc_array:
    """One row a stay (a reading where there are none), one column a level's week: sums of ``D^-1 e``."""
    stay = design.nest[0].codes if design.nest else np.arange(len(codes))
    said, width = codes >= 0, int(label.max()) + 1
    places = (stay[said], codes[said] * width + label[said])
    shape = (int(stay.max()) + 1, (int(codes.max()) + 1) * width)
    return sparse.csc_array((left.left[said], places), shape=shape)


def _weeks(cells: Cells, first: float, middle: float, doubt: sparse.csc_array) -> list[Week]:
    covariance = np.linalg.inv(cells.information + np.eye(len(cells.label)) / PRIOR_SD**2)
    mean: Floats = covariance @ cells.score - middle
    spread = (doubt.T @ doubt).toarray() + np.eye(len(cells.label)) / PRIOR_SD**2
    variance = np.maximum(np.diag(covariance), np.diag(covariance @ spread @ covariance))
    half = Z95 * np.sqrt(variance)
    return [
        Week(monday(first, int(k)), int(n), float(m), float(m - h), float(m + h))
        for k, n, m, h in zip(cells.label, cells.n, mean, half, strict=True)
    ]
