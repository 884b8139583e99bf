"""Plans against every plan there is, on small rotas; limits, cover and arranged visits kept; the bound is a bound.

Oracle: enumeration (`small_rotas.best_of_all`), which knows no windows, no linear program and no prices.
"""

from dataclasses import replace
from importlib import import_module
from types import SimpleNamespace

import numpy as np
import pytest
import small_rotas as rotas

from browline.visit_plan import Cover, FixedVisit, Limits, Outcome, Problem, Worth, solve
from browline.visit_plan import calls as calling
from browline.visit_plan import search as searching
from browline.visit_plan.greedy import greedy
from browline.visit_plan.polish import polished
from browline.visit_plan.program import build_program
from browline.visit_plan.solve import plan_for_windows
from browline.visit_plan.windows import build_windows

solving = import_module("browline.visit_plan.solve")

SEEDS = range(60)
MET = [seed for seed in range(120) if rotas.somebody_meets_her(rotas.drawn(seed))][:60]
"""Rotas in which somebody to be reached is there when the educator can come."""


def program_drawn(seed):
    """A problem of `MET` and its program."""
    problem = rotas.drawn(seed)
    return problem, build_program(problem, build_windows(problem))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_plan_of_a_small_rota_is_better(seed):
    problem = rotas.drawn(seed)
    plan = solve(problem, gap=0.0, seconds=20)
    assert rotas.faults(problem, plan) == []
    assert plan.worth == pytest.approx(rotas.best_of_all(problem), abs=1e-6)
    assert plan.bound == pytest.approx(plan.worth, abs=1e-6)
    assert plan.outcome in (Outcome.OPTIMAL, Outcome.NONE_MEET, Outcome.NOT_WORTH, Outcome.NO_TIME)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bound_of_the_short_list_holds_for_the_whole_problem(seed, monkeypatch):
    """The way a hospital is planned: prices first, then only the windows that look best."""
    monkeypatch.setattr(searching, "WHOLE_PAIRS", 0)
    monkeypatch.setattr(searching, "SHORT_PAIRS", 3)
    problem = rotas.drawn(seed)
    plan, best = solve(problem, gap=0.01, seconds=20), rotas.best_of_all(problem)
    assert rotas.faults(problem, plan) == [] and plan.outcome != Outcome.BOUND_BROKEN
    assert plan.bound >= best - 1e-6 >= plan.worth - 2e-6


@pytest.mark.parametrize("seed", MET)
def test_what_the_search_claims_no_plan_passes(seed, monkeypatch):
    """The bound of the search itself, before it meets the plan; whole, and by the short list."""
    problem, program = program_drawn(seed)
    best = rotas.best_of_all(problem)
    assert searching.search(program, gap=0.0, seconds=20).bound >= best - 1e-6
    monkeypatch.setattr(searching, "WHOLE_PAIRS", 0)
    monkeypatch.setattr(searching, "SHORT_PAIRS", 3)
    assert searching.search(program, gap=0.01, seconds=20).bound >= best - 1e-6


def test_a_bound_below_the_plan_is_admitted_and_never_called_the_best(monkeypatch):
    problem = rotas.drawn(MET[3])
    honest = solve(problem, gap=0.0)

    def too_low(program, *, gap, seconds):
        found = searching.search(program, gap=gap, seconds=seconds)
        return replace(found, bound=found.bound - 1e-4)

    monkeypatch.setattr(solving, "search", too_low)
    plan = solve(problem, gap=0.0)
    assert honest.outcome == Outcome.OPTIMAL and plan.outcome == Outcome.BOUND_BROKEN
    assert plan.visits and plan.bound >= rotas.best_of_all(problem)
    assert "fault of ours" in plan.outcome.sentence


def test_search_and_calls_share_the_time(monkeypatch):
    spent = []

    def watched(name):
        true = getattr(solving, name)

        def call(*given, **named):
            spent.append(named["seconds"] if name == "search" else given[-1])
            return true(*given, **named)

        monkeypatch.setattr(solving, name, call)

    watched("search")
    watched("choose_calls")
    solve(rotas.drawn(MET[3]), seconds=5)
    assert len(spent) == 2 and sum(spent) == pytest.approx(5)


@pytest.mark.parametrize("seed", MET)
def test_where_calls_are_not_found_in_time_those_who_come_first_are_called(seed, monkeypatch):
    nothing = SimpleNamespace(x=None, message="time limit")
    monkeypatch.setattr(calling, "solved", lambda *given, **named: nothing)
    problem = rotas.drawn(seed)
    plan = solve(problem, gap=0.0)
    assert rotas.faults(problem, plan) == []
    assert plan.bound >= rotas.best_of_all(problem) - 1e-6 >= plan.worth - 2e-6


@pytest.mark.parametrize("seed", MET)
def test_one_visit_after_another_keeps_every_limit_and_is_never_better(seed):
    problem, program = program_drawn(seed)
    plan = plan_for_windows(program, greedy(program))
    assert rotas.faults(problem, plan) == []
    assert plan.worth <= rotas.best_of_all(problem) + 1e-6


def test_a_search_without_time_falls_back_on_visits_by_hand_and_says_so(monkeypatch):
    monkeypatch.setattr(searching, "WHOLE_PAIRS", 0)
    monkeypatch.setattr(searching, "relaxed", lambda program, seconds: None)
    problem = rotas.drawn(3)
    plan = solve(problem, gap=0.0)
    assert plan.visits and plan.outcome == Outcome.TIME_LIMIT
    assert rotas.faults(problem, plan) == []
    assert plan.bound >= rotas.best_of_all(problem) and plan.gap > 0


def test_the_same_problem_gives_the_same_plan():
    one, other = (solve(rotas.drawn(7)) for _ in range(2))
    assert [(v.ward, v.start, v.who.tolist()) for v in one.visits] == [
        (v.ward, v.start, v.who.tolist()) for v in other.visits
    ]


def test_sooner_is_better_and_a_dear_hour_leaves_visits_out():
    rows = [(p, 0, d, "early") for p in range(4) for d in (0, 7)]
    days = [rotas.stretch(d, 8, 12, [9.0]) for d in (0, 7)]
    cheap = rotas.problem(rows, days, 4, worth=Worth(chances=1, hour=0.0))
    assert next(v.start for v in solve(cheap).visits) == 9.0
    dear = rotas.problem(rows, days, 4, worth=Worth(chances=1, hour=10.0))
    assert solve(dear).outcome == Outcome.NOT_WORTH


def test_those_who_only_work_nights_are_not_left_to_the_end():
    """One visit a week: two by day against two by night; the weight decides for the night."""
    rows = [(p, 0, 0, "early") for p in (0, 1)] + [(p, 0, 0, "night") for p in (2, 3)]
    times = [rotas.stretch(0, 8, 12, [9.0]), rotas.stretch(0, 20, 24, [21.0])]
    only_one = Limits(hours_a_week=0.5, rest_h=0.0)
    for weight, start in ((1.5, 21.0), (0.5, 9.0)):
        problem = rotas.problem(rows, times, 4, limits=only_one, worth=Worth(out_of_hours=weight))
        assert [v.start for v in solve(problem).visits] == [start]


def test_a_visit_already_arranged_is_kept_even_beyond_the_hours():
    rows = [(p, 0, d, "early") for p in range(4) for d in (0, 1)]
    days = [rotas.stretch(d, 8, 12, [9.0, 10.0]) for d in (0, 1)]
    kept = FixedVisit(0, 24 + 9.25, 0.5)
    plan = solve(rotas.problem(rows, days, 4, fixed=(kept,), limits=Limits(hours_a_week=0.1)))
    assert [(v.start, v.fixed) for v in plan.visits] == [(33.25, 0)]
    assert len(plan.visits[0].who) == 3 and plan.hours == pytest.approx(0.5 + 1 / 6)


def test_a_week_is_the_calendars_whatever_day_the_plan_begins_on():
    """Hours for two visits a week; the plan begins on a Wednesday, so that its days 4 and 5 lie in two weeks."""
    rows = [(p, 0, d, "early") for p in range(20) for d in range(7)]
    days = [rotas.stretch(d, 8, 12, [9.0]) for d in range(7)]
    two = {"limits": Limits(hours_a_week=1.0, weekends=7), "worth": Worth(hour=0.0, half_life_days=1000)}

    def visits(**facts):
        plan = solve(rotas.problem(rows, days, 20, first_weekday=2, **two, **facts))
        return [int(v.start // 24) for v in plan.visits]

    def by_week(found):
        return [sum(d < 5 for d in found), sum(d >= 5 for d in found)]

    assert by_week(visits()) == [2, 2]
    assert by_week(visits(spent={0: 0.5})) == [1, 2]
    assert by_week(visits(spent={0: 3.0})) == [0, 2]


def test_two_nights_close_to_two_days_are_not_both_worked():
    rows = [(p, 0, d, s) for d in (0, 1) for p, s in ((0, "night"), (1, "night"), (2, "early"), (3, "early"))]
    times = [rotas.stretch(0, 20, 25, [21.0]), rotas.stretch(1, 8, 12, [9.0])]
    assert len(solve(rotas.problem(rows, times, 4, limits=Limits(rest_h=11))).visits) == 1
    assert len(solve(rotas.problem(rows, times, 4, limits=Limits(rest_h=6))).visits) == 2


def test_nobody_known_nobody_to_reach_no_roster_no_time_and_nobody_met_are_told_apart():
    rows, day = [(0, 0, 0, "early"), (1, 0, 0, "early")], [rotas.stretch(0, 8, 12, [9.0])]
    nobody = np.zeros(2, dtype=bool)
    outcomes = [
        solve(problem).outcome
        for problem in (
            rotas.problem([], day, 0),
            rotas.problem(rows, day, 2, to_reach=nobody),
            rotas.problem([], day, 2),
            rotas.problem(rows, [], 2),
            rotas.problem(rows, [rotas.stretch(0, 20, 24, [21.0])], 2),
        )
    ]
    assert outcomes == [
        Outcome.NO_PEOPLE, Outcome.NOBODY, Outcome.NO_ROSTER, Outcome.NO_TIME, Outcome.NONE_MEET,
    ]  # fmt: skip
    assert all(o.sentence and not o.has_visits for o in outcomes)


def test_a_problem_that_makes_no_sense_is_refused():
    day = rotas.stretch(0, 8, 12, [9.0, 9.25])
    with pytest.raises(ValueError, match="walk apart"):
        rotas.problem([(0, 0, 0, "early")], [day], 1)
    with pytest.raises(ValueError, match="people and wards"):
        rotas.problem([(5, 0, 0, "early")], [], 1)
    with pytest.raises(ValueError, match="release"):
        Worth(release=0)
    with pytest.raises(ValueError, match="one entry"):
        Problem(2, 1, np.ones(1, dtype=bool), rotas.duties([]), ())


def test_limits_that_allow_nothing_are_told_apart_from_visits_not_worth_it():
    rows = [(p, 0, 0, "night") for p in range(3)]
    night = [rotas.stretch(0, 20, 24, [21.0])]
    assert solve(rotas.problem(rows, night, 3, limits=Limits(nights=0))).outcome == Outcome.NO_TIME


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bound_holds_whatever_the_short_list_leaves_out(seed, monkeypatch):
    rng = np.random.default_rng(seed)

    def half(program, relax):
        arranged = np.array([w.fixed is not None for w in program.windows.windows])
        return arranged | (rng.random(len(program.windows)) < 0.4)

    monkeypatch.setattr(searching, "WHOLE_PAIRS", 0)
    monkeypatch.setattr(searching, "short_list", half)
    problem = rotas.drawn(seed)
    plan, best = solve(problem, gap=0.01, seconds=20), rotas.best_of_all(problem)
    assert rotas.faults(problem, plan) == [] and plan.outcome != Outcome.BOUND_BROKEN
    assert plan.bound >= best - 1e-6 >= plan.worth - 2e-6


@pytest.mark.parametrize("seed", MET)
def test_choosing_each_week_anew_keeps_every_limit_and_finds_the_best_of_a_single_week(seed):
    problem, program = program_drawn(seed)
    windows = program.windows
    margin = searching.relaxed(program, 5.0).margin
    arranged = np.array([v for v, w in enumerate(windows.windows) if w.fixed is not None], dtype=np.int64)
    plan = plan_for_windows(program, polished(program, arranged, -np.inf, margin, 10.0))
    assert rotas.faults(problem, plan) == []
    best = rotas.best_of_all(problem)
    assert plan.worth <= best + 1e-6
    if len({rotas.week_of(problem, w.day) for w in windows.windows}) == 1:
        assert plan.worth == pytest.approx(best, abs=2e-3)


def test_the_short_list_is_filled_up_by_margin():
    problem = rotas.drawn(0)
    program = build_program(problem, build_windows(problem))
    relax = searching.relaxed(program, 5.0)
    keep = searching.short_list(program, relax)
    assert keep.all()
    assert np.all(relax.margin[relax.visits > 1e-6] >= -1e-7)


def test_a_ward_is_visited_once_on_a_day_even_if_she_comes_twice():
    rows = [(p, 0, 0, "early") for p in range(6)]
    twice = [rotas.stretch(0, 8, 10, [8.0]), rotas.stretch(0, 12, 14, [12.5])]
    assert len(solve(rotas.problem(rows, twice, 6, cover=Cover(most=1))).visits) == 1
    two = Limits(visits_a_ward_day=2)
    assert len(solve(rotas.problem(rows, twice, 6, cover=Cover(most=1), limits=two)).visits) == 2


def test_nothing_is_put_into_the_rest_after_a_visit_arranged_at_night():
    rows = [(p, 0, d, "early") for p in range(3) for d in (1, 2)]
    times = [rotas.stretch(d, 8, 12, [9.0]) for d in (1, 2)]
    plan = solve(rotas.problem(rows, times, 3, fixed=(FixedVisit(0, 23.0, 0.5),)))
    assert [v.start for v in plan.visits] == [23.0, 57.0]


def test_nobody_is_fetched_during_handover():
    rows = [(0, 0, 0, "early"), (1, 0, 0, "early")]
    for at, met in ((7.25, False), (7.5, True), (14.1, True), (14.25, False)):
        plan = solve(rotas.problem(rows, [rotas.stretch(0, 7, 15, [at])], 2))
        assert bool(plan.visits) == met
