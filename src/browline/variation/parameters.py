"""What is estimated: the numbers the fit moves, and the spreads within stays and of the factors that they stand for.

    theta = (patient^2, course^2, log hours) of each group, at_site^2, reading^2 and slope of each site,
            then the variance of each random factor

A number may be held where it is, or be one number for several places (all sites alike, two groups as one).
"""

from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.stays.course import Course

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
        return 3 * self.groups + 1 + 2 * self.sites

    @property
    def count(self) -> int:
        """How many numbers are moved."""
        return int(self.tied.max(initial=HELD)) + 1

    def least(self) -> Floats:
        """The least value of every place."""
        made = np.zeros(len(self.tied))
        made[2 : 3 * self.groups : 3] = np.log(SHORTEST)
        first = 3 * self.groups + 1
        made[first : first + self.sites] = LEAST_VARIANCE
        made[first + self.sites : first + 2 * self.sites] = LEAST_SLOPE
        return made

    def most(self) -> Floats:
        """The largest value of every place."""
        made = np.full(len(self.tied), np.inf)
        made[2 : 3 * self.groups : 3] = np.log(LONGEST)
        first = 3 * self.groups + 1
        made[first + self.sites : first + 2 * self.sites] = MOST_SLOPE
        return made

    def places(self, at: Course, sds: Floats) -> Floats:
        """theta at these spreads."""
        by_group = np.column_stack([at.patient**2, at.course**2, np.log(at.hours)]).ravel()
        return np.concatenate([by_group, [at.at_site**2], at.reading**2, at.slope, sds**2])

    def spreads(self, theta: Floats) -> tuple[Course, Floats]:
        """The course and the factors' sds at `theta`."""
        by_group = theta[: 3 * self.groups].reshape(-1, 3)
        first = 3 * self.groups
        reading = theta[first + 1 : first + 1 + self.sites]
        slope = theta[first + 1 + self.sites : self.stay_places]
        at = Course(
            patient=np.sqrt(by_group[:, 0]),
            course=np.sqrt(by_group[:, 1]),
            hours=np.exp(by_group[:, 2]),
            at_site=float(np.sqrt(theta[first])),
            reading=np.sqrt(reading),
            slope=slope.copy(),
        )
        return at, np.sqrt(theta[self.stay_places :])

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
        made = theta.copy()
        made[moved] += move[self.tied[moved]]
        return np.clip(made, np.where(moved, self.least(), theta), np.where(moved, self.most(), theta))


def parameters(
    groups: int,
    sites: int,
    factors: int,
    *,
    patient: bool = True,
    course: bool = True,
    at_site: bool = True,
    reading: Codes | None = None,
    slopes: Codes | None = None,
    alike: Codes | None = None,
    held: Codes | None = None,
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
    keys.append(("at_site", 0) if at_site else None)
    keys += [("reading", k) for k in reading.tolist()]
    free = set(() if slopes is None else slopes.tolist())
    keys += [("slope", k) if k in free else None for k in range(sites)]
    still = set(() if held is None else held.tolist())
    keys += [None if k in still else ("factor", k) for k in range(factors)]
    seen: dict[tuple[str, int], int] = {}
    tied = [HELD if key is None else seen.setdefault(key, len(seen)) for key in keys]
    return Parameters(groups, sites, factors, np.array(tied, np.int64))
