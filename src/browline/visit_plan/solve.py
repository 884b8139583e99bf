"""One gesture: a problem in, a plan out."""

from collections.abc import Callable

import numpy as np

from browline.visit_plan.calls import Called, choose_calls, plan_worth
from browline.visit_plan.chances import reach_probability, reached
from browline.visit_plan.greedy import Limited, greedy
from browline.visit_plan.outcome import Outcome
from browline.visit_plan.problem import Ints, Problem
from browline.visit_plan.program import Program, build_program
from browline.visit_plan.reasons import reasons
from browline.visit_plan.result import Plan, Visit
from browline.visit_plan.search import Choice, ceiling, search
from browline.visit_plan.timetable import timetable
from browline.visit_plan.windows import FIXED, Windows, build_windows

Progress = Callable[[int, int, str], None]
EXACT = 1e-6
CALLS_SHARE = 0.05
"""Share of the time that is kept for calling people to the visits found."""


def solve(
    problem: Problem, *, gap: float = 0.01, seconds: float = 60.0, progress: Progress | None = None
) -> Plan:
    """The plan that reaches most new people soonest for the fewest hours, with a proved gap.

    `gap`: how near to the best plan is near enough, relative. `seconds`: time for search and calls together. Returns
    a `Plan` whose outcome says how the search ended; visits already arranged are in it whatever the limits say.
    """
    report = progress or _silent
    report(0, 4, "seeing who is on duty when")
    windows = build_windows(problem)
    program = build_program(problem, windows) if len(windows) else None
    if program is None or not len(windows.pair_person):
        return _without(problem, windows, _why_none(problem, windows))
    report(1, 4, "looking for the best visits")
    choice = search(program, gap=gap, seconds=(1 - CALLS_SHARE) * seconds)
    chosen = greedy(program) if choice.chosen is None else choice.chosen
    report(3, 4, "calling people to visits")
    called = choose_calls(program, chosen, CALLS_SHARE * seconds)
    return _plan(program, called, choice, gap)


def plan_for_windows(
    program: Program, chosen: Ints, bound: float | None = None, *, seconds: float = 60.0
) -> Plan:
    """The plan that visits these windows, calling the best people to them; for comparing ways of choosing.

    `bound`: what no plan can pass, where it is known; else the bound that needs no search.
    """
    choice = Choice(chosen, ceiling(program) if bound is None else bound)
    return _plan(program, choose_calls(program, chosen, seconds), choice, 0.0)


def _plan(program: Program, called: list[Called], choice: Choice, gap: float) -> Plan:
    problem = program.problem
    worth = plan_worth(program, called)
    # Only a bound that is wrong is passed; then nothing is claimed by it.
    broken = worth > choice.bound + EXACT * max(1.0, abs(choice.bound))
    bound = ceiling(program) if broken else max(choice.bound, worth)
    chances = np.zeros(problem.people, dtype=np.int64)
    for visit in called:
        chances[visit.who] += 1
    visits = _visits(program, called)
    if not visits:
        outcome = _why_empty(program)
    elif broken:
        outcome = Outcome.BOUND_BROKEN
    else:
        outcome = _outcome(worth, bound, gap, choice.chosen is not None)
    return Plan(
        outcome=outcome,
        visits=visits,
        worth=worth,
        bound=bound,
        expected=float(reached(problem.worth.release, chances).sum()),
        hours=sum(visit.hours + problem.walk_h for visit in visits),
        chances=chances,
        unreached=reasons(problem, program.windows, chances),
    )


def _visits(program: Program, called: list[Called]) -> tuple[Visit, ...]:
    problem = program.problem
    probability = reach_probability(problem.worth.release, problem.worth.chances)
    starts = timetable(program.windows, [visit.window for visit in called])
    visits = [
        _visit(problem, visit, start, float(probability[visit.chance - 1].sum()))
        for visit, start in zip(called, starts, strict=True)
    ]
    return tuple(sorted(visits, key=lambda visit: (visit.start, visit.ward)))


def _visit(problem: Problem, called: Called, start: float, expected: float) -> Visit:
    window = called.window
    return Visit(
        ward=window.ward,
        start=start,
        hours=problem.visit_h if window.fixed is None else problem.fixed[window.fixed].hours,
        stretch=None if window.stretch == FIXED else window.stretch,
        fixed=window.fixed,
        on_duty=window.on_duty,
        places=window.places,
        who=called.who,
        chance=called.chance,
        expected=expected,
    )


def _outcome(worth: float, bound: float, gap: float, searched: bool) -> Outcome:
    short = bound - worth
    if short <= EXACT * max(bound, 1.0):
        return Outcome.OPTIMAL
    return Outcome.WITHIN_GAP if searched and short <= gap * bound else Outcome.TIME_LIMIT


def _why_empty(program: Program) -> Outcome:
    """No visit was proposed: because the limits allow none, or because none is worth its hours."""
    limits = Limited(program)
    allowed = any(limits.allows(v) for v in range(len(program.windows)))
    return Outcome.NOT_WORTH if allowed else Outcome.NO_TIME


def _why_none(problem: Problem, windows: Windows) -> Outcome:
    if not problem.people:
        return Outcome.NO_PEOPLE
    if not problem.to_reach.any():
        return Outcome.NOBODY
    if not len(problem.duties):
        return Outcome.NO_ROSTER
    hours = problem.limits.hours_a_week >= problem.cost_h and problem.limits.visits_a_day > 0
    return Outcome.NONE_MEET if any(windows.starts) and hours else Outcome.NO_TIME


def _without(problem: Problem, windows: Windows, outcome: Outcome) -> Plan:
    """A plan without new visits; those arranged are kept in it."""
    nobody = np.zeros(problem.people, dtype=np.int64)
    visits: tuple[Visit, ...] = ()
    if len(windows):
        called = [Called(w, nobody[:0], nobody[:0]) for w in windows.windows if w.stretch == FIXED]
        visits = _visits(build_program(problem, windows), called)
    hours = sum(visit.hours + problem.walk_h for visit in visits)
    return Plan(
        outcome=outcome,
        visits=visits,
        worth=0.0,
        bound=0.0,
        expected=0.0,
        hours=hours,
        chances=nobody,
        unreached=reasons(problem, windows, nobody),
    )


def _silent(done: int, total: int, message: str) -> None:
    """Progress that nobody watches."""
