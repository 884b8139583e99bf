"""Chances to come, against the planning numbers of practice (own arithmetic there), and against a simulated rota."""

import numpy as np
import pytest
import small_rotas as rotas

from browline.visit_plan import Worth, sessions_needed, solve
from browline.visit_plan.chances import reached


@pytest.mark.parametrize(
    ("who", "on_duty", "sessions"),
    [
        ("rotating twelve-hour staff, 36 hours a week, sessions at any hour", 36 / 168, 17),
        ("permanent nights, 3 a week, every session at night", 3 / 7, 8),
        ("permanent eight-hour days, 5 a week, every session by day", 5 / 7, 5),
    ],
)
def test_sessions_until_nine_in_ten_had_a_chance(who, on_duty, sessions):
    """17, 8 and 5 at a release of 0.6: common planning numbers, by arithmetic; hours a week reconstructed by us."""
    assert sessions_needed(0.9, on_duty, 0.6) == sessions, who
    assert 1 - (1 - on_duty * 0.6) ** (sessions - 1) < 0.9


def test_counting_chances_by_name_gives_the_same_reach_as_not_knowing_names():
    """17 sessions at random hours: those on duty have one chance each; over many people both ways of counting agree."""
    rng = np.random.default_rng(2)
    chances = rng.binomial(17, 36 / 168, 200_000)
    assert reached(0.6, chances).mean() == pytest.approx(1 - (1 - 0.6 * 36 / 168) ** 17, abs=0.002)


@pytest.mark.parametrize("release", [0.3, 0.6, 1.0])
def test_a_plan_expects_what_happens_when_people_come_by_chance(release):
    """Simulation: everybody called comes with the release rate unless reached before."""
    rows = [(p, 0, d, "early") for p in range(8) for d in (0, 2, 4)]
    days = [rotas.stretch(d, 8, 12, [9.0, 10.0]) for d in (0, 2, 4)]
    plan = solve(rotas.problem(rows, days, 8, worth=Worth(release=release, chances=3, hour=0)))
    rng, people = np.random.default_rng(1), []
    for _ in range(4000):
        came = set()
        for visit in plan.visits:
            came |= {p for p in visit.who.tolist() if rng.random() < release}
        people.append(len(came))
    assert np.mean(people) == pytest.approx(plan.expected, abs=0.12)
