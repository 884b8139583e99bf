"""Week by week: how an instrument or a ward read against the rest, for the picture behind a finding.

With H and g the information and score of a subject's weekly means (stays/cells.py), the means under a flat-ish
prior N(0, PRIOR_SD^2) are ``m = (H + I / PRIOR_SD^2)^-1 g`` with variances on the inverse's diagonal. Intervals
take the larger of that and the robust variance (clusters.py), stays being the clusters. Means are shown against
the same middle of the others as the subject's effect (effects/comparison.py), and an instrument's with what it sank
between cleanings in them.
"""

import numpy as np
from scipy import sparse

from browline.quantities.shares import Z95
from browline.variation.arrays import Codes, Floats
from browline.variation.drift import drift_means
from browline.variation.effects.compared import Compared
from browline.variation.problem import Problem
from browline.variation.result import Week
from browline.variation.stays.cells import Cells, cells_by_level
from browline.variation.stays.residuals import Residuals
from browline.variation.tables import Fitted
from browline.weeks import monday, weeks

PRIOR_SD = 2.0


def weekly(problem: Problem, fitted: Fitted, name: str, compared: Compared) -> dict[str, tuple[Week, ...]]:
    """The weeks of every subject of factor `name` ("instrument", "ward"), by the subject's name."""
    fit, columns = fitted.fit, fitted.fit.model.columns
    week, first = weeks(problem.readings.time)
    kind = fitted.kinds[name]
    effects = fit.u[columns.slices()[name]]
    middle = effects - compared.against.contrasts(effects)
    codes, label = fitted.codes(name), week[columns.order]
    sinks = drift_means(fitted, label, int(label.max(initial=0)) + 1) if name == "instrument" else None
    scores, width = _stay_scores(fitted.residuals, columns.arrays.first, codes, label), int(label.max()) + 1
    by_subject: dict[str, list[Week]] = {}
    for level, cells in cells_by_level(columns, fit.course, fitted.residuals.e, codes, label, effects):
        variance_weight = scores[:, level * width + cells.label]
        subject = problem.readings.names[name][int(kind.subject[level])]
        shift = middle[level] - (0.0 if sinks is None else sinks[level, cells.label])
        by_subject.setdefault(subject, []).extend(_weeks(cells, first, shift, variance_weight))
    return {
        subject: tuple(sorted(subject_weeks, key=lambda w: w.week))
        for subject, subject_weeks in by_subject.items()
    }


def _stay_scores(residuals: Residuals, first: Codes, codes: Codes, label: Codes) -> sparse.csc_array:
    """One row a stay, one column a level's week: sums of ``V^-1 e``."""
    stay = np.repeat(np.arange(len(first) - 1), np.diff(first))
    charted, width = codes >= 0, int(label.max(initial=0)) + 1
    places = (stay[charted], codes[charted] * width + label[charted])
    shape = (len(first) - 1, (int(codes.max(initial=-1)) + 1) * width)
    return sparse.csc_array((residuals.weighted[charted], places), shape=shape)


def _weeks(
    cells: Cells, first: float, middle: Floats | float, variance_weight: sparse.csc_array
) -> list[Week]:
    covariance = np.linalg.inv(cells.information + np.eye(len(cells.label)) / PRIOR_SD**2)
    mean: Floats = covariance @ cells.score - middle
    middle_part = (variance_weight.T @ variance_weight).toarray() + np.eye(len(cells.label)) / PRIOR_SD**2
    variance = np.maximum(np.diag(covariance), np.diag(covariance @ middle_part @ covariance))
    half = Z95 * np.sqrt(variance)
    return [
        Week(week=monday(first, int(k)), n=int(n), mean_c=float(m), low_c=float(m - h), high_c=float(m + h))
        for k, n, m, h in zip(cells.label, cells.n, mean, half, strict=True)
    ]
