"""Our fits of the benchmark's readings, from plain columns to the optimum."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from browline.variation.fit import ROUGHLY, SAMPLE_ABOVE, SAMPLE_EVERY, SETTLED
from browline.variation.likelihood import Likelihood
from browline.variation.optimise import Optimum, optimise
from browline.variation.parameters import Parameters, parameters
from browline.variation.stays.columns import Columns, Factor, columns
from browline.variation.stays.course import course

from .readings import FLEET

Floats = NDArray[np.float64]
LEVELS = {"instrument": FLEET.instruments, "person": FLEET.people, "ward": FLEET.wards}
TOLERANCE = (
    f"stops where one more step would lower the criterion by at most {SETTLED:g};"
    f" over {SAMPLE_ABOVE:,} readings it begins where every {SAMPLE_EVERY}th stay ends"
)
START_SD = 0.1
WAVES = ("c1", "s1", "c2", "s2")


@dataclass(frozen=True)
class Answer:
    """`criterion` -2 log REML; `sds` by name, °C; `hours` the course's time constants; how it ended.

    `passes` are those over all readings, two to a step.
    """

    criterion: float
    sds: Mapping[str, float]
    hours: tuple[float, ...]
    outcome: str
    passes: int


def ordinary(c: Mapping[str, NDArray]) -> Answer:
    """The model that general packages fit: a stay's level, crossed effects, one error."""
    made = columns(c["value"], fixed(c), factors(c), c["stay"], c["hour"])
    moved = parameters(1, 1, len(LEVELS), course=False, patient_site=False)
    start = moved.places(course(course=0.0, patient_site=0.0), np.full(len(LEVELS), START_SD))
    return answer(moved, descent(made, moved, start))


def full(c: Mapping[str, NDArray]) -> Answer:
    """Course and spreads by care group, patient x site, error by site, mean and own drift since cleaning."""
    x = np.column_stack([fixed(c), c["cleaned"]])
    drift = Factor("drift", c["instrument"], FLEET.instruments, c["cleaned"])
    scaled = np.array([False] * 4 + [True] * 4 + [False])
    made = columns(
        c["value"], x, [*factors(c), drift], c["stay"], c["hour"],
        site=c["site"], group=c["group"], scaled=scaled,
    )  # fmt: skip
    moved = parameters(2, 4, len(LEVELS) + 1, slopes=np.array([1]))
    start = moved.places(course(2, 4), np.array([*[START_SD] * len(LEVELS), START_SD / 100]))
    return answer(moved, descent(made, moved, start))


MODELS: Mapping[str, Callable[[Mapping[str, NDArray]], Answer]] = {"ordinary": ordinary, "full": full}


def descent(made: Columns, moved: Parameters, theta: Floats) -> Optimum:
    """Down from `theta` as the room's own fit goes; it takes a `Model` of charted readings, this plain columns."""
    if len(made) > SAMPLE_ABOVE:
        theta = optimise(Likelihood(made.every(SAMPLE_EVERY), moved), theta, ROUGHLY).point.theta
    return optimise(Likelihood(made, moved), theta, SETTLED)


def fixed(c: Mapping[str, NDArray]) -> Floats:
    """A constant, the sites but the first, four rhythm columns: float64[n, 8]."""
    sites = [c["site"] == site for site in (1, 2, 3)]
    return np.column_stack([np.ones(len(c["value"])), *sites, *(c[wave] for wave in WAVES)])


def factors(c: Mapping[str, NDArray]) -> list[Factor]:
    """Instruments, people and wards."""
    return [Factor(name, c[name], levels) for name, levels in LEVELS.items()]


def answer(moved: Parameters, found: Optimum) -> Answer:
    """The optimum in sds."""
    at, sds = moved.spreads(found.point.theta)
    named = dict(zip((*LEVELS, "drift"), sds.tolist(), strict=False))
    stays = {"stay": float(at.patient[0]), "reading": float(at.reading[0])}
    hours = tuple(at.hours.tolist()) if at.course.any() else ()
    return Answer(
        found.point.solution.criterion, stays | named, hours, found.outcome.name.lower(), found.passes
    )
