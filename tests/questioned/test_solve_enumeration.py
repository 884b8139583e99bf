"""`solve` against the enumeration twin: while the beam is not full, the same sum.

Not to the last digit: branches lighter than a billionth of the whole are let go, and the core at each reading, who
misled and why are read from the 400 heaviest hypotheses, so these agree to about a hundredth only.
"""

import numpy as np
import pytest
from enumeration import CAUSES, enumerated
from made_problems import PROBLEMS, THREE

from browline.questioned import solve

EXACT, TRACED = 3e-6, 0.012
ROOM = 100_000
CAUSE_OF = {"lag": "lag", "site": "site", "technique": "slip", "gross": "slip", "scatter": "scatter"}


def cause_kind(problem, reading, name):
    """The word of the enumeration for a cause of the program."""
    if name in CAUSE_OF:
        return CAUSE_OF[name]
    conditions = {shift.name for shift in problem.priors.sites[reading.site].conditions}
    return "condition" if name in conditions else "state"


@pytest.fixture(scope="module")
def pairs():
    """Problem, enumeration and answer of every small problem."""
    return {name: (p, enumerated(p), solve(p, beam=12_000)) for name, p in PROBLEMS.items()}


@pytest.mark.parametrize("name", PROBLEMS)
def test_the_core_now(pairs, name):
    problem, exact, result = pairs[name]
    assert 0 <= result.left_out < 1e-4
    assert result.now.mean_c == pytest.approx(exact.now.middle(), abs=EXACT)
    assert result.now.fever == pytest.approx(1 - exact.now.under(problem.fever_c), abs=EXACT)
    assert result.now.low == pytest.approx(exact.now.under(problem.low_c), abs=EXACT)


@pytest.mark.parametrize("name", PROBLEMS)
def test_the_band_holds_95_in_100(pairs, name):
    _, exact, result = pairs[name]
    assert exact.now.under(result.now.low_c) == pytest.approx(0.025, abs=1e-4)
    assert exact.now.under(result.now.high_c) == pytest.approx(0.975, abs=1e-4)


@pytest.mark.parametrize("name", PROBLEMS)
def test_the_core_at_each_reading_and_who_misled(pairs, name):
    _, exact, result = pairs[name]
    for core, chance, told in zip(exact.at, exact.misled, result.misled, strict=True):
        assert told.core.mean_c == pytest.approx(core.middle(), abs=TRACED)
        assert told.chance == pytest.approx(chance, abs=TRACED)


@pytest.mark.parametrize("name", PROBLEMS)
def test_why_each_reading_misled(pairs, name):
    problem, exact, result = pairs[name]
    for reading, causes, told in zip(problem.readings, exact.causes, result.misled, strict=True):
        summed = dict.fromkeys(CAUSES, 0.0)
        for cause, chance in told.causes.items():
            summed[cause_kind(problem, reading, cause)] += chance
        assert sum(told.causes.values()) == pytest.approx(told.chance, abs=EXACT)
        assert summed == pytest.approx(causes, abs=TRACED)


def test_three_readings_are_still_within_a_hundredth():
    """More hypotheses than the beam holds: what is left out is said, and is about what it costs."""
    exact, result = enumerated(THREE), solve(THREE)
    assert result.now.mean_c == pytest.approx(exact.now.middle(), abs=0.01)
    assert result.now.fever == pytest.approx(1 - exact.now.under(THREE.fever_c), abs=0.01)
    misled = [told.chance for told in result.misled]
    assert misled == pytest.approx(exact.misled, abs=0.02)
    assert 0 <= result.left_out < 0.05


@pytest.mark.parametrize("name", ("forehead and mouth", "one low scan", "a scanner the book knows"))
def test_the_least_expected_cost_of_three_decisions(pairs, name):
    """Written out from the exact chances: acting as for a fever also misses a low core, and so on."""
    problem, exact, result = pairs[name]
    fever, low = 1 - exact.now.under(problem.fever_c), exact.now.under(problem.low_c)
    missed_f, missed_l = problem.costs.missed_fever, problem.costs.missed_low
    costs = {
        "fever": (1 - fever) + missed_l * low,
        "low": (1 - low) + missed_f * fever,
        "neither": missed_f * fever + missed_l * low,
    }
    assert result.loss == pytest.approx(min(costs.values()), abs=10 * EXACT)
    assert result.act_as == min(costs, key=costs.get)
    assert np.isfinite(result.loss)
