"""`solve` against the particle filter on problems too large to enumerate here."""

import numpy as np
import pytest
from particles import filtered

from browline.course import Problem, Reading, solve

FOUR = Problem(
    (
        Reading(39.4, "temporal", 70, "A"),
        Reading(39.1, "temporal", 60, "B"),
        Reading(37.8, "rectal", 45),
        Reading(38.2, "oral", 5),
    ),
    {"worsening": "yes", "heat": "no", "damp": "no"},
)
RUNS, EACH = 10, 50_000


@pytest.mark.parametrize("problem", (FOUR,), ids=("four readings",))
def test_four_readings(problem):
    rngs = np.random.default_rng(5).spawn(RUNS)
    runs = np.array([filtered(problem, EACH, rng).row() for rng in rngs])
    result = solve(problem)
    told = np.array(
        [
            result.now.mean_c,
            result.now.fever,
            result.now.low,
            *(m.core.mean_c for m in result.misled),
            *(m.chance for m in result.misled),
        ]
    )
    error = runs.std(axis=0, ddof=1) / np.sqrt(RUNS)
    assert np.all(np.abs(runs.mean(axis=0) - told) <= 5 * error + 0.01)
