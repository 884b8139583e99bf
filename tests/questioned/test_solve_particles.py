"""`solve` against the particle filter on problems too large to enumerate here."""

import numpy as np
import pytest
from particles import filtered

from browline.questioned import Problem, Reading, solve

FOUR = Problem(
    (
        Reading(36.4, "temporal", 70, "A"),
        Reading(37.3, "tympanic", 60),
        Reading(38.4, "rectal", 45),
        Reading(37.2, "oral", 5),
    ),
    {"cooled": "yes", "cold-drink": "no"},
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
