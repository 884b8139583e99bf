"""What is estimated: the numbers the fit moves, and the spreads within stays and of the factors that they stand for.

    theta = (patient^2, course^2, log hours) of each group, patient_site^2, reading^2 and slope of each site,
            then the variance of each random factor

A number may be held where it is, or be one number for several places (all sites alike, two groups as one).
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.stays.course import Course
from browline.variation.stays.layout import GROUP_PARAMETERS, HOURS, offsets, stay_parameters

HELD = -1
SHORTEST, LONGEST = 0.25, 2000.0
LEAST_SLOPE, MOST_SLOPE = 0.3, 2.0
LEAST_VARIANCE = 1e-6


@dataclass(frozen=True)
class Parameters:
    """Which place of theta belongs to which number that is moved.

    - `groups`, `sites`: how many care groups and sites. `factors`: how many random factors.
    - `tied` int64[3 groups + 1 + 2 sites + factors]: the moved number of each place, `HELD` where it stays.
    """

    groups: int
    sites: int
    factors: int
    tied: Codes

    @property
    def stay_places(self) -> int:
        """How many places describe the stays."""
        return int(stay_parameters(self.groups, self.sites))

    @property
    def hours(self) -> slice:
        """The places of every group's log hours."""
        return slice(HOURS, GROUP_PARAMETERS * self.groups, GROUP_PARAMETERS)

    @property
    def readings(self) -> slice:
        """The places of the sites' error variances."""
        _, reading, slope, _ = offsets(self.groups, self.sites)
        return slice(reading, slope)

    @property
    def slopes(self) -> slice:
        """The places of the sites' slopes."""
        _, _, slope, end = offsets(self.groups, self.sites)
        return slice(slope, end)

    @property
    def count(self) -> int:
        """How many numbers are moved."""
        return int(self.tied.max(initial=HELD)) + 1

    def least(self) -> Floats:
        """The least value of every place."""
        bounds = np.zeros(len(self.tied))
        bounds[self.hours] = np.log(SHORTEST)
        bounds[self.readings] = LEAST_VARIANCE
        bounds[self.slopes] = LEAST_SLOPE
        return bounds

    def most(self) -> Floats:
        """The largest value of every place."""
        bounds = np.full(len(self.tied), np.inf)
        bounds[self.hours] = np.log(LONGEST)
        bounds[self.slopes] = MOST_SLOPE
        return bounds

    def places(self, params: Course, sds: Floats) -> Floats:
        """theta at these spreads."""
        by_group = np.column_stack([params.patient**2, params.course**2, np.log(params.hours)]).ravel()
        return np.concatenate([by_group, [params.patient_site**2], params.reading**2, params.slope, sds**2])

    def spreads(self, theta: Floats) -> tuple[Course, Floats]:
        """The course and the factors' sds at `theta`."""
        patient_site, *_ = offsets(self.groups, self.sites)
        by_group = theta[:patient_site].reshape(-1, GROUP_PARAMETERS)
        params = Course(
            patient=np.sqrt(by_group[:, 0]),
            course=np.sqrt(by_group[:, 1]),
            hours=np.exp(by_group[:, 2]),
            patient_site=float(np.sqrt(theta[patient_site])),
            reading=np.sqrt(theta[self.readings]),
            slope=theta[self.slopes].copy(),
        )
        return params, np.sqrt(theta[self.stay_places :])

    def gathered(self, slopes: Floats) -> Floats:
        """Slopes by place as slopes by moved number, float64[count]."""
        moved = self.tied >= 0
        return np.bincount(self.tied[moved], slopes[moved], self.count).astype(float)

    def folded(self, curvature: Floats) -> Floats:
        """Curvature by place as curvature by moved number, float64[count, count]."""
        moved = np.flatnonzero(self.tied >= 0)
        fold = np.zeros((len(self.tied), self.count))
        fold[moved, self.tied[moved]] = 1.0
        return np.asarray(fold.T @ curvature @ fold)

    def step(self, theta: Floats, move: Floats) -> Floats:
        """theta with the moved numbers changed by `move` float64[count], kept within their bounds."""
        moved = self.tied >= 0
        stepped = theta.copy()
        stepped[moved] += move[self.tied[moved]]
        return np.clip(stepped, np.where(moved, self.least(), theta), np.where(moved, self.most(), theta))


def parameters(
    groups: int,
    sites: int,
    factors: int,
    *,
    patient: bool = True,
    course: bool = True,
    patient_site: bool = True,
    reading: Codes | None = None,
    slopes: Codes | None = None,
    alike: Codes | None = None,
    fixed: Codes | None = None,
) -> Parameters:
    """Which numbers are moved.

    `reading` int64[sites]: sites of one number have one error spread (each its own unless given). `slopes`: the
    sites whose slope is moved. `alike` int64[groups]: groups of one number share their spreads. `held`: factors
    whose sd stays.
    """
    alike = np.arange(groups) if alike is None else alike
    reading = np.arange(sites) if reading is None else reading
    keys: list[tuple[str, int] | None] = []
    for g in alike.tolist():
        keys += [
            ("patient", g) if patient else None,
            ("course", g) if course else None,
            ("hours", g) if course else None,
        ]
    keys.append(("patient_site", 0) if patient_site else None)
    keys += [("reading", k) for k in reading.tolist()]
    free = set(() if slopes is None else slopes.tolist())
    keys += [("slope", k) if k in free else None for k in range(sites)]
    still = set(() if fixed is None else fixed.tolist())
    keys += [None if k in still else ("factor", k) for k in range(factors)]
    numbers: dict[tuple[str, int], int] = {}
    tied = [HELD if key is None else numbers.setdefault(key, len(numbers)) for key in keys]
    return Parameters(groups, sites, factors, np.array(tied, np.int64))
