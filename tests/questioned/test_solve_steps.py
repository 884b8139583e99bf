"""What a next step is worth, against the whole sum: every value it may bring is added and everything enumerated again.

The step's moment becomes now: readings and onsets move back by the wait. `drop` takes its hypotheses from the 800
heaviest and leaves out what is rarer than one in ten thousand, so the two agree to a few hundredths of a loss of 1.
"""

from dataclasses import replace

import numpy as np
import pytest
from enumeration import enumerated

from browline.questioned import Problem, Reading, solve

HORIZON_MIN, CLOSE = 120.0, 0.02
LATTICE_C = np.arange(33.5, 42.01, 0.25)
ASKED = Problem((Reading(37.9, "rectal", 3),), {"cold-drink": "no"})


def least_loss(problem, exact):
    """The least expected cost of acting as for a fever, as for a low core, or as for neither."""
    fever, low = 1 - exact.now.under(problem.fever_c), exact.now.under(problem.low_c)
    missed = problem.costs.missed_fever * fever, problem.costs.missed_low * low
    return min(1 - fever + missed[1], 1 - low + missed[0], sum(missed))


def later(problem, minutes):
    """The same readings, seen some minutes later."""
    course = problem.priors.course
    course = replace(course, onsets=tuple(m + minutes for m in course.onsets))
    readings = tuple(replace(r, minutes_ago=r.minutes_ago + minutes) for r in problem.readings)
    return replace(problem, readings=readings, priors=replace(problem.priors, course=course))


def drop(problem, step, instrument):
    """(H - a)/H (loss then without the reading - expected loss with it)."""
    then = later(problem, step.wait_minutes)
    before = enumerated(then)
    log_p, loss = [], []
    for value in LATTICE_C:
        taken = Reading(float(value), step.site, 0.0, instrument, prepared=True)
        with_it = replace(then, readings=(*then.readings, taken))
        after = enumerated(with_it)
        log_p.append(after.log_evidence - before.log_evidence)
        loss.append(least_loss(with_it, after))
    chance = np.exp(log_p) * np.diff(LATTICE_C).mean()
    assert chance.sum() == pytest.approx(1, abs=0.01)
    return (1 - step.wait_minutes / HORIZON_MIN) * (least_loss(then, before) - chance @ loss)


def test_the_drop_of_a_step():
    step = next(s for s in solve(ASKED).steps if (s.kind, s.site) == ("other-site", "oral"))
    assert step.drop == pytest.approx(drop(ASKED, step, ""), abs=CLOSE)


def test_a_barred_site_stands_last_and_a_core_probe_first():
    told = Problem(
        (Reading(37.9, "temporal", 3, "A"),),
        contraindications={"rectal": "neutropenia"},
        core_probe="bladder",
    )
    steps = solve(told).steps
    assert (steps[0].kind, steps[0].site) == ("core-probe", "bladder")
    assert steps[-1].site == "rectal" and steps[-1].barred == "neutropenia"
    ranked = [s.drop for s in steps[1:] if not s.barred]
    assert ranked == sorted(ranked, reverse=True)
