"""How the readings of one stay vary together: the parameters, and their covariance written out.

    cov(y_i, y_j) = l_i l_j (patient_g^2 + course_g^2 exp(-|t_i - t_j| / hours_g))
                    + patient_site^2 [same cell] + reading_s^2 weight_i [i = j]

with l the slope of the reading's site and g the care group of the stay. `dense` is the slow, plain form that the
kernels are checked against.
"""

from typing import NamedTuple

import numpy as np

from browline.variation.arrays import Floats
from browline.variation.stays.columns import Arrays


class Course(NamedTuple):
    """The spreads within stays, for G care groups and S sites.

    - `patient`, `course` float64[G], °C: sd of a patient's level, and of the course around it.
    - `hours` float64[G]: time constant of the course. `patient_site`, °C: sd of a patient's own difference at a site.
    - `reading` float64[S], °C: sd of a single reading's error. `slope` float64[S]: rise with the patient.
    """

    patient: Floats
    course: Floats
    hours: Floats
    patient_site: float
    reading: Floats
    slope: Floats


def course(groups: int = 1, sites: int = 1, **given: Floats | float) -> Course:
    """A course with plain starting values, those `given` put in place (numbers are spread over groups or sites)."""
    start: dict[str, tuple[int, float]] = {
        "patient": (groups, 0.4),
        "course": (groups, 0.3),
        "hours": (groups, 12.0),
        "reading": (sites, 0.25),
        "slope": (sites, 1.0),
    }
    patient_site = float(given.pop("patient_site", 0.1))
    spreads = {
        name: np.broadcast_to(given.pop(name, usual), (size,)).astype(float)
        for name, (size, usual) in start.items()
    }
    if given:
        raise ValueError(f"a course has no {', '.join(given)}")
    return Course(patient_site=patient_site, **spreads)


def dense(arrays: Arrays, params: Course, stay: int) -> Floats:
    """V of one stay, float64[m, m], °C^2."""
    rows = slice(int(arrays.first[stay]), int(arrays.first[stay + 1]))
    group = int(arrays.group[stay])
    rise = params.slope[arrays.site[rows]]
    apart = np.abs(np.subtract.outer(arrays.time[rows], arrays.time[rows])) / params.hours[group]
    moves = params.patient[group] ** 2 + params.course[group] ** 2 * np.exp(-apart)
    same = np.equal.outer(arrays.cell[rows], arrays.cell[rows])
    error = np.diag(params.reading[arrays.site[rows]] ** 2 * arrays.variance_weight[rows])
    return np.asarray(np.outer(rise, rise) * moves + params.patient_site**2 * same + error)
