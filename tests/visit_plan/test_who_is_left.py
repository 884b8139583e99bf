"""Why somebody has no chance, one reason each; champions on each ward and time; who works beside those left out."""

import pytest
import small_rotas as rotas

from browline.visit_plan import NIGHT, WEEKDAY, Cover, Limits, Outcome, Reason, solve
from browline.visit_plan.champions import beside, champion_coverage
from browline.visit_plan.explain import gap_sentence, reach_sentence

DAY = rotas.stretch(0, 8, 12, [9.0])


def left(rows, people, **facts):
    return dict(solve(rotas.problem(rows, facts.pop("times", [DAY]), people, wards=3, **facts)).unreached)


def test_every_reason_is_told_from_the_others():
    rows = [
        (0, 0, 0, "early"), (1, 0, 0, "early"), (2, 0, 0, "early"),
        (3, 0, 0, "night"), (4, 0, 0, "night"),
        (5, 0, 5, "early"), (6, 0, 5, "early"),
        (7, 1, 0, "early"), (8, 1, 0, "early"),
        (9, 2, 0, "early"),
    ]  # fmt: skip
    found = left(rows, 11, closed=frozenset({1}), cover=Cover(most=1))
    one_of_three = [found.pop(p) for p in (0, 1, 2) if p in found]
    assert one_of_three == [Reason.ROOM]
    assert found == {
        3: Reason.NIGHTS, 4: Reason.NIGHTS, 5: Reason.HOURS, 6: Reason.HOURS, 7: Reason.WARD,
        8: Reason.WARD, 9: Reason.COVER, 10: Reason.NOT_ON_ROSTER,
    }  # fmt: skip
    assert {*found.values(), *one_of_three} == set(Reason)


def test_a_day_barred_on_a_ward_is_a_reason_of_the_ward():
    rows = [(0, 0, 0, "early"), (1, 0, 0, "early")]
    assert left(rows, 2, excluded=frozenset({(0, 0)})) == {0: Reason.WARD, 1: Reason.WARD}


def test_night_staff_are_reached_once_nights_are_given_and_left_without():
    rows = [(p, 0, 0, "night") for p in (0, 1)]
    night = rotas.stretch(0, 20, 25, [21.0])
    assert left(rows, 2, times=[night], limits=Limits(nights=1)) == {}
    assert left(rows, 2, times=[DAY]) == {0: Reason.NIGHTS, 1: Reason.NIGHTS}
    assert left(rows, 2, times=[night], limits=Limits(nights=0)) == {0: Reason.ROOM, 1: Reason.ROOM}


def test_every_reason_and_outcome_says_what_helps():
    for said in (*Reason, *Outcome):
        assert said.sentence.endswith(".") and (";" in said.sentence or said.sentence.count(".") > 1)


def test_champions_are_counted_by_ward_and_time_on_the_ward_they_are_for():
    rows = [
        (0, 0, 0, "early"),
        (0, 0, 1, "early"),
        (1, 0, 2, "early"),
        (0, 1, 3, "early"),
        (1, 0, 0, "night"),
    ]
    held = champion_coverage(rotas.duties(rows), {(0, 0)})
    assert [(h.ward, h.time, h.shifts, h.covered, h.champions) for h in held] == [
        (0, WEEKDAY, 3, 2, (0,)),
        (0, NIGHT, 1, 0, ()),
        (1, WEEKDAY, 1, 0, ()),
    ]


def test_who_works_most_beside_somebody():
    rows = [(0, 0, d, "night") for d in range(4)]
    rows += [
        (1, 0, 0, "night"),
        (2, 0, 1, "night"),
        (2, 0, 2, "night"),
        (3, 1, 3, "night"),
        (2, 0, 3, "early"),
    ]
    assert beside(rotas.duties(rows), {0}, {1, 2, 3}) == {0: (2, 2)}
    assert beside(rotas.duties(rows), {3}, {1, 2}) == {}


@pytest.mark.parametrize("outcome", list(Outcome))
def test_the_gap_is_said_wherever_there_is_a_plan(outcome):
    said = gap_sentence(outcome, 95.0, 100.0, 28.0)
    assert bool(said) == (outcome.has_visits and outcome != Outcome.BOUND_BROKEN)
    if said:
        assert "100.0" in said and "95.0" in said
    assert ("5.0 in a hundred" in said) == (outcome in (Outcome.WITHIN_GAP, Outcome.TIME_LIMIT))


def test_the_reach_names_the_assumption():
    assert reach_sentence(1.2, 1500, 1, 0.5, 0.65).startswith(
        "If 6.5 in 10 of those called can come, about 1 of the 1,500"
    )
