"""What a next step at the forehead is worth, against the whole sum; the quick ones stand in tests/course.

Run: make study. Every value the step may bring, by quarters of a degree, is added and everything enumerated again.
"""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "course"))

CLOSE = 0.03
STEPS = (("second-instrument", "temporal", "B"), ("other-site", "oral", ""))


@pytest.mark.parametrize(("value", "damp"), ((37.9, "no"), (36.6, "yes")))
@pytest.mark.parametrize(("kind", "site", "instrument"), STEPS)
def test_drops(value, damp, kind, site, instrument, capsys):
    from test_solve_steps import drop

    from browline.questioned import Problem, Reading, solve

    problem = Problem((Reading(value, "temporal", 3, "A"),), {"damp": damp, "worsening": "yes"})
    step = next(s for s in solve(problem).steps if (s.kind, s.site) == (kind, site))
    whole = drop(problem, step, instrument)
    with capsys.disabled():
        print(
            f"\n{value} °C, damp: {damp}; {kind} {site}: drop told {step.drop:.3f}, by the whole sum {whole:.3f}"
        )
    assert step.drop == pytest.approx(whole, abs=CLOSE)
