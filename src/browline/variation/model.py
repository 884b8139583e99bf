"""The joint model of a problem: its columns, what is estimated, and what the readings cannot hold.

y_i = 37 + alpha_s + l_s (x_i'beta + mu_e + z_e(t_i)) + v_{e,s} + a_d + b_d c_i + g_o + h_w + u_{w,month} + eps_i
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.days_since_cleaning import Dirt, dirt
from browline.variation.fixed_effects import Fixed, fixed
from browline.variation.identifiable import Held, held
from browline.variation.parameters import Parameters, parameters
from browline.variation.problem import Problem
from browline.variation.random_factors import Random, random
from browline.variation.stays.columns import Columns, columns
from browline.variation.stays.course import Course, course

CENTRE = 37.0
START_SD = 0.1


@dataclass(frozen=True)
class Model:
    """The parts of the model and the columns made of them; `dropped`: sentences for `limits`."""

    columns: Columns
    fixed: Fixed
    random: Random
    held: Held
    dirt: Dirt | None
    moved: Parameters

    @property
    def dropped(self) -> tuple[str, ...]:
        """What these readings cannot hold, in sentences."""
        return (*self.fixed.dropped, *self.held.said, *self.random.dropped)

    def start(self) -> Floats:
        """Where the fit begins when nothing better is known."""
        at = course(len(self.held.groups), len(self.held.reading), **self._held_at_zero())
        return self.moved.places(at, np.full(len(self.random.factors), START_SD))

    def _held_at_zero(self) -> dict[str, float]:
        can = {"patient": self.held.patient, "course": self.held.course, "at_site": self.held.at_site}
        return {name: 0.0 for name, told in can.items() if not told}

    def names(self) -> tuple[str, ...]:
        """The random factors in order."""
        return tuple(f.name for f in self.random.factors)


def model(problem: Problem, codes: Mapping[str, Codes]) -> Model:
    """The model of the problem, with `codes` of instrument, person and ward (segments may be split)."""
    soil, told = dirt(problem), held(problem)
    fixed_, random_ = fixed(problem, soil), random(problem, codes, soil)
    stay = np.arange(len(problem)) if problem.stay is None else problem.stay
    made = columns(
        problem.readings.value - CENTRE,
        fixed_.x,
        random_.factors,
        stay,
        problem.readings.time,
        site=problem.site,
        scaled=fixed_.scaled,
        doubt=problem.doubt,
        group=told.group,
    )
    return Model(
        columns=made, fixed=fixed_, random=random_, held=told, dirt=soil, moved=_moved(told, random_)
    )


def _moved(told: Held, random_: Random) -> Parameters:
    groups, sites = len(told.groups), len(told.reading)
    return parameters(
        groups,
        sites,
        len(random_.factors),
        patient=told.patient,
        course=told.course,
        at_site=told.at_site,
        reading=told.reading,
        slopes=told.slopes,
    )


def spreads(model: Model, theta: Floats) -> tuple[Course, dict[str, float]]:
    """The course and the sd of every factor at `theta`."""
    at, sds = model.moved.spreads(theta)
    return at, {name: float(sd) for name, sd in zip(model.names(), sds, strict=True)}
