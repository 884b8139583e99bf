"""What a step is worth, against the answer that would be given had its reading been taken."""

from dataclasses import replace

import numpy as np
import pytest

from browline.questioned import Costs, Outcome, Problem, Reading, solve
from browline.questioned.beam_search import search
from browline.questioned.candidates import candidates
from browline.questioned.decision_loss import losses
from browline.questioned.steps import RARE, _after, _joint, _wait, steps

TWO = Problem((Reading(38.4, "temporal", 5.0, "A"), Reading(36.9, "oral", 2.0)))
HIGH = Problem((Reading(39.4, "temporal", 5.0, "A"),), answers={"hot-drink": "yes"})


def looked_ahead(problem, site):
    """Lattice, chances of its values, and the chances of a fever after each, of a step at a site not read yet."""
    timeline, found = search(problem, 12_000)
    one = next(c for c in candidates(problem) if c.site == site and c.kind == "other-site")
    best = np.argsort(-found.log_weight)[:300]
    weight = np.exp(found.log_weight[best])
    held = found.hypotheses.select(best)
    _wait(problem, timeline, held, 0.0)
    return _after(problem, _joint(problem, timeline, held, weight / weight.sum(), one))


@pytest.mark.parametrize("site", ["tympanic", "axillary"])
def test_looking_ahead_is_what_the_reading_would_have_said(site):
    """Oracle: the same question with the reading in it. Only the heaviest hypotheses look ahead, so to 0.01."""
    lattice, chance, fever, _ = looked_ahead(TWO, site)
    likely = [k for k in range(len(lattice)) if chance[k] > 0.01][::4]
    assert len(likely) >= 3
    for k in likely:
        told = replace(
            TWO, readings=(*TWO.readings, Reading(float(lattice[k]), site, 0.0, "X", prepared=True))
        )
        assert fever[k] == pytest.approx(solve(told, steps=False).now.fever, abs=0.01), lattice[k]


def test_the_drop_is_the_mean_fall_of_the_loss():
    _, chance, fever, low = looked_ahead(TWO, "tympanic")
    after = chance @ losses(fever, low, TWO.costs).min(axis=0)
    told = solve(TWO)
    step = next(s for s in told.steps if s.site == "tympanic")
    assert step.drop == pytest.approx(told.loss - after, abs=0.01)
    assert chance.sum() == pytest.approx(1.0) and chance[0] < 20 * RARE


def test_a_reading_never_raises_the_expected_loss_and_waiting_costs():
    now = {s.site: s.drop for s in solve(HIGH).steps}
    assert all(drop >= 0.0 for drop in now.values())
    brief = {s.site: s.drop for s in solve(replace(HIGH, costs=Costs(horizon_minutes=20.0))).steps}
    assert brief["oral"] == 0.0, "a hot drink is waited for longer than the decision stands"


def test_what_the_answers_ask_to_wait_for_is_waited_for():
    """Published: 23 minutes after a hot drink, 15 after a cold one (nursingcenter 638043)."""
    waits = {s.site: s.wait_minutes for s in solve(HIGH).steps}
    assert waits["oral"] == 23.0 and waits["rectal"] == 0.0
    cold = replace(HIGH, answers={"cold-drink": "yes"})
    assert {s.site: s.wait_minutes for s in solve(cold).steps}["oral"] == 15.0
    damp = {(s.kind, s.site): s.wait_minutes for s in solve(replace(HIGH, answers={"damp": "yes"})).steps}
    assert damp["second-instrument", "temporal"] == 10.0


def test_a_core_probe_in_place_comes_first_and_what_is_barred_comes_last_with_its_reason():
    told = solve(replace(TWO, core_probe="bladder", contraindications={"rectal": "neutropenia"})).steps
    assert (told[0].kind, told[0].site) == ("core-probe", "bladder")
    assert (told[-1].site, told[-1].barred) == ("rectal", "neutropenia")
    assert all(not step.barred for step in told[:-1])
    drops = [step.drop for step in told[1:-1]]
    assert drops == sorted(drops, reverse=True)


def test_a_core_probe_in_place_comes_first_even_where_another_site_would_tell_more():
    asked = Problem((Reading(39.6, "temporal", 5.0, "A"),), core_probe="nasopharyngeal")
    first, second = solve(asked).steps[:2]
    assert first.kind == "core-probe" and second.drop > first.drop


def test_without_a_second_instrument_none_is_proposed():
    assert any(s.kind == "second-instrument" for s in solve(TWO).steps)
    assert not any(s.kind == "second-instrument" for s in solve(replace(TWO, another=False)).steps)


def test_a_reading_at_the_turning_point_turns_the_decision():
    told = solve(TWO)
    step = next(s for s in told.steps if s.site == "rectal")
    assert step.fever_from_c is not None
    for value, act in ((step.fever_from_c + 0.2, "fever"), (step.fever_from_c - 0.3, "neither")):
        more = replace(TWO, readings=(*TWO.readings, Reading(value, "rectal", 0.0, "X", prepared=True)))
        assert solve(more, steps=False).act_as == act


def test_another_rectal_reading_in_an_hour_is_proposed_where_one_was_taken():
    """The slow site that was read is proposed once more after 60 min: taught, no source found."""
    asked = Problem((Reading(36.9, "oesophageal", 10.0), Reading(38.5, "rectal", 4.0)), {"cooled": "yes"})
    later = [s for s in solve(asked).steps if s.kind == "repeat-later"]
    assert [(s.site, s.wait_minutes) for s in later] == [("rectal", 60.0)]


def test_costs_move_the_decision_and_nothing_else():
    dear, cheap = (solve(replace(TWO, costs=Costs(missed_fever=m)), steps=False) for m in (50.0, 0.2))
    assert dear.now == cheap.now
    assert (dear.act_as, cheap.act_as) == ("fever", "neither")


def test_one_low_scan_cannot_settle_it_and_the_best_step_would_most_often():
    told = solve(Problem((Reading(35.4, "temporal", 5.0, "A"),), answers={"damp": "yes"}))
    assert told.outcome is Outcome.NOT_SETTLED
    assert told.steps[0].settles > 0.7
    timeline, found = search(TWO, 500)
    assert steps(TWO, timeline, found), "the steps stand alone too"
