"""The oracles of the room `course` against each other: enumeration, particles, and cases played minute by minute."""

from dataclasses import replace

import numpy as np
import pytest
from enumeration import enumerated
from generator import played
from made_problems import PROBLEMS
from particles import filtered
from plans import same

RUNS, EACH = 8, 25_000


def row(problem):
    """The exact figures in the order of the particles'."""
    e = enumerated(problem)
    lines = 1 - e.now.under(problem.fever_c), e.now.under(problem.low_c)
    return np.array([e.now.middle(), *lines, *(core.middle() for core in e.at), *e.misled])


def of_particles(problem, seed, each=EACH):
    """Mean and standard error of the particles' figures over independent runs."""
    rngs = np.random.default_rng(seed).spawn(RUNS)
    runs = np.array([filtered(problem, each, rng).row() for rng in rngs])
    return runs.mean(axis=0), runs.std(axis=0, ddof=1) / np.sqrt(RUNS)


@pytest.mark.parametrize(
    "name", ("oesophagus and rectum", "damp, dried and read again", "one scanner at two sites")
)
def test_particles_agree_with_enumeration(name):
    mean, error = of_particles(PROBLEMS[name], seed=1)
    assert np.all(np.abs(mean - row(PROBLEMS[name])) <= 5 * error + 0.002)


def test_played_cases_near_the_readings_have_the_enumerated_core():
    """Cases played forward whose readings fall within 0.2 °C of 37.0 and 37.2 °C."""
    problem = PROBLEMS["cooled, in the first year"]
    first, second = problem.readings
    told = replace(problem, readings=(replace(first, value_c=37.0), replace(second, value_c=37.2)))
    cases = played(same(told, 40_000), np.random.default_rng(2))
    near = np.all(np.abs(cases.value[:, :2] - [37.0, 37.2]) < 0.2, axis=1)
    error = cases.now[near].std() / np.sqrt(near.sum())
    assert near.sum() > 500
    assert cases.now[near].mean() == pytest.approx(enumerated(told).now.middle(), abs=4 * error + 0.01)
