"""The answer in words: what comes first, what is always said, and both units in every temperature."""

import re
from dataclasses import replace

import pytest

from browline.display import rough_chance
from browline.questioned import Costs, Problem, Reading, explain, solve
from browline.questioned.explain import GROUPS, PURPOSE, REPEATABLE
from browline.questioned.published import published
from browline.questioned.words import CAUSES, STORIES

AGREEING = Problem(
    (Reading(36.3, "temporal", 12, "A"), Reading(36.4, "temporal", 6, "B"), Reading(38.3, "oral", 2)),
    answers={"worsening": "yes", "damp": "no", "cold-in": "no", "hot-drink": "no", "other-mode": "no"},
)
BARE = re.compile(r"(?<![{\d.])\d\d\.\d(?!\d|\})")


@pytest.fixture(scope="module")
def told():
    return explain(AGREEING, solve(AGREEING))


def every_text(told):
    steps = [
        text for step in told.steps for text in (step.do, step.heed, step.wait, step.brings, step.barred)
    ]
    ways = [text for way in told.ways for text in (way.says, way.chance)]
    return [told.act_on, told.says, told.core, told.at_lines, *told.readings, *ways, *steps, *told.beside]


def test_the_safer_reading_is_acted_on_and_nothing_delays_care(told):
    assert "act on the safer reading: {38.3}" in told.act_on
    assert "delay care" in told.act_on
    low = Problem((Reading(34.2, "temporal", 5), Reading(36.6, "temporal", 2, prepared=True)))
    assert "{34.2}" in explain(low, solve(low)).act_on


def test_it_says_that_it_cannot_settle_it_and_what_would(told):
    assert told.says.startswith("These readings cannot settle it. What would most likely do so: ")
    assert "would speak for acting as for a fever" in told.steps[0].brings


def test_a_settled_answer_is_no_reason_not_to_escalate():
    asked = Problem((Reading(36.9, "temporal", 5), Reading(36.8, "oral", 1), Reading(37.1, "rectal", 0)))
    says = explain(asked, solve(asked)).says
    assert says.startswith("The readings together point to a core between {35.0} and {38.0}.")
    assert says.endswith("no reason not to escalate a patient who looks ill.")


def test_cautions_stand_beside_it(told):
    assert told.beside[0] == REPEATABLE and GROUPS in told.beside and told.beside[-1] == PURPOSE
    alone = Problem((Reading(38.2, "oral", 5),))
    assert GROUPS not in explain(alone, solve(alone)).beside


def test_what_a_miss_is_taken_to_cost_is_said():
    asked = replace(AGREEING, costs=Costs(missed_fever=4.0))
    beside = explain(asked, solve(asked)).beside
    assert any("counts a missed fever 4 times, and a missed low 10 times" in line for line in beside)


def test_a_bias_that_readings_share_stays_in_the_list(told):
    otherwise = "forehead reads otherwise than the core, in every reading there alike"
    shared = [way for way in told.ways if otherwise in way.says]
    assert [way.readings for way in shared] == [(0, 1)]


def test_every_temperature_will_be_shown_in_both_units(told):
    assert [text for text in every_text(told) if BARE.search(text)] == []


def test_every_cause_there_can_be_has_its_words():
    priors = published()
    shifts = [shift for site in priors.sites.values() for shift in (*site.conditions, site.slip)]
    shifts += [shift for kind in priors.kinds.values() for shift in kind.states] + [priors.gross]
    named = {shift.name for shift in shifts} | {"lag", "site", "instrument", "scatter"}
    assert named <= set(STORIES) and named <= set(CAUSES)


def test_a_barred_step_says_why():
    barred = replace(AGREEING, contraindications={"oral": "cannot keep a probe in the mouth"})
    last = explain(barred, solve(barred)).steps[-1]
    assert last.barred == "cannot keep a probe in the mouth" and "mouth" in last.do


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.0, "fewer than 1 in 100"), (0.094, "about 9 in 100"), (0.096, "about 1 in 10"), (0.94, "about 94 in 100"),
     (1.0, "more than 99 in 100"), (0.5, "about 5 in 10")],
)  # fmt: skip
def test_chances_in_words(share, words):
    assert rough_chance(share) == words
