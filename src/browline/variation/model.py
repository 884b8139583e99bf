"""The joint model of a problem: its columns, what is estimated, and what the readings cannot hold.

y_i = 37 + alpha_s + l_s (x_i'beta + mu_e + z_e(t_i)) + v_{e,s} + a_d + b_d c_i + g_o + h_w + u_{w,month} + eps_i
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.days_since_cleaning import SinceCleaning, since_cleaning
from browline.variation.fixed_effects import Fixed, fixed
from browline.variation.identifiable import Identifiable, identifiable
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
    identifiable: Identifiable
    since_cleaning: SinceCleaning | None
    parameters: Parameters

    @property
    def dropped(self) -> tuple[str, ...]:
        """What these readings cannot hold, in sentences."""
        return (*self.fixed.dropped, *self.identifiable.sentences, *self.random.dropped)

    def start(self) -> Floats:
        """Where the fit begins when nothing better is known."""
        params = course(
            len(self.identifiable.groups), len(self.identifiable.reading), **self._fixed_at_zero()
        )
        return self.parameters.places(params, np.full(len(self.random.factors), START_SD))

    def _fixed_at_zero(self) -> dict[str, float]:
        can = {
            "patient": self.identifiable.patient,
            "course": self.identifiable.course,
            "patient_site": self.identifiable.patient_site,
        }
        return {name: 0.0 for name, estimated in can.items() if not estimated}

    def names(self) -> tuple[str, ...]:
        """The random factors in order."""
        return tuple(f.name for f in self.random.factors)


def model(problem: Problem, codes: Mapping[str, Codes]) -> Model:
    """The model of the problem, with `codes` of instrument, person and ward (segments may be split)."""
    cleaning, stays = since_cleaning(problem), identifiable(problem)
    fixed_, random_ = fixed(problem, cleaning), random(problem, codes, cleaning)
    stay = np.arange(len(problem)) if problem.stay is None else problem.stay
    built = columns(
        problem.readings.value - CENTRE,
        fixed_.x,
        random_.factors,
        stay,
        problem.readings.time,
        site=problem.site,
        scaled=fixed_.scaled,
        variance_weight=problem.variance_weight,
        group=stays.group,
    )
    return Model(
        columns=built,
        fixed=fixed_,
        random=random_,
        identifiable=stays,
        since_cleaning=cleaning,
        parameters=_parameters(stays, random_),
    )


def _parameters(stays: Identifiable, random_: Random) -> Parameters:
    groups, sites = len(stays.groups), len(stays.reading)
    return parameters(
        groups,
        sites,
        len(random_.factors),
        patient=stays.patient,
        course=stays.course,
        patient_site=stays.patient_site,
        reading=stays.reading,
        slopes=stays.slopes,
    )


def spreads(model: Model, theta: Floats) -> tuple[Course, dict[str, float]]:
    """The course and the sd of every factor at `theta`."""
    params, sds = model.parameters.spreads(theta)
    return params, {name: float(sd) for name, sd in zip(model.names(), sds, strict=True)}
