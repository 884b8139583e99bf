"""Whose question: "is this plan worth more than what I would do by hand?" - and how long it takes to make.

An invented hospital of 1,500 staff on 30 wards over 28 days, everybody still to reach: a quarter work eight-hour days,
15 % only nights, the rest twelve-hour days and nights by turns; one duty in ten is on another ward. Peers, in the
same run, under the same limits, each with the best calling of people to its visits:

- greedy: one visit after another, each the one that brings most now;
- evenly spaced: as many visits as hours allow, wards by turns, starts spread evenly over the times given, nights too.

    python benchmarks/rota.py                 1,500 staff, 6, 12 and 25 hours a week
    python benchmarks/rota.py 600 12          another number of staff, and hours
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
import time

import numpy as np

from browline.visit_plan import NIGHT, WEEKDAY, WEEKEND, Duties, Limits, Plan, Problem, Stretch, solve
from browline.visit_plan.greedy import Limited, greedy
from browline.visit_plan.problem import Ints
from browline.visit_plan.program import Program, build_program
from browline.visit_plan.solve import plan_for_windows
from browline.visit_plan.windows import build_windows

DAYS, WARD_OF = 28, 50
STAFF, HOURS = 1500, (6.0, 12.0, 25.0)
ROUNDS = (6, 10, 14, 18, 22)
SHIFTS = {"E": (7.0, 15.0), "L": (13.0, 21.0), "LD": (7.0, 19.5), "N": (19.0, 31.5)}


def hospital(staff: int, hours: float, seed: int = 1) -> Problem:
    """The invented hospital; the first day is a Monday."""
    rng = np.random.default_rng(seed)
    wards = max(staff // WARD_OF, 1)
    rows = [
        row
        for person in range(staff)
        for row in _duties(person, person % wards, rng.choice(3, p=[0.25, 0.15, 0.6]), wards, rng)
    ]
    person, ward, start, end, at = (np.array(column) for column in zip(*rows, strict=True))
    duties = Duties(person, ward, start, end, at)
    everybody = np.ones(staff, dtype=bool)
    limits = Limits(hours_a_week=hours, visits_a_day=12)
    return Problem(staff, wards, everybody, duties, tuple(_stretches()), limits=limits)


def _duties(person, home, pattern, wards, rng):
    for week in range(DAYS // 7):
        for day in rng.choice(7, 5 if pattern == 0 else 3, replace=False) + 7 * week:
            code = {0: ("E", "L"), 1: ("N", "N"), 2: ("LD", "N")}[int(pattern)][int(rng.integers(2))]
            start, end = SHIFTS[code]
            ward = home if rng.random() > 0.1 else int(rng.integers(wards))
            at = NIGHT if code == "N" else WEEKEND if day % 7 > 4 else WEEKDAY
            yield person, ward, 24 * day + start, 24 * day + end, at


def _stretches():
    """Weekdays 08 to 16, Saturdays 09 to 13, Tuesday and Thursday nights 20 to 01, half-hourly, away from rounds."""
    for day in range(DAYS):
        given = {5: (9.0, 13.0, WEEKEND)} | dict.fromkeys(range(5), (8.0, 16.0, WEEKDAY))
        nights = {1: (20.0, 25.0, NIGHT), 3: (20.0, 25.0, NIGHT)}
        for first, last, at in (by_day[day % 7] for by_day in (given, nights) if day % 7 in by_day):
            starts = [s for s in np.arange(first, last - 0.4, 0.5) if s % 24 not in ROUNDS]
            yield Stretch(24 * day + first, 24 * day + last, at, tuple(24 * day + s for s in starts))


def evenly(program: Program) -> Ints:
    """Visits on wards by turns, at starts spread evenly over all windows of each, as long as the limits allow."""
    windows, limits = program.windows.windows, Limited(program)
    wards = sorted({w.ward for w in windows})
    most = program.problem.limits.hours_a_week * (DAYS / 7) / program.problem.cost_h
    each = most / len(wards)
    chosen = []
    for turn in range(int(most)):
        ward = wards[turn % len(wards)]
        aim = ((turn // len(wards)) + (turn % len(wards)) / len(wards)) * DAYS / max(each, 1) % DAYS
        near = sorted(
            (v for v, w in enumerate(windows) if w.ward == ward), key=lambda v: abs(windows[v].day - aim)
        )
        taken = next((v for v in near if limits.allows(v)), None)
        if taken is not None:
            limits.take(taken)
            chosen.append(taken)
    return np.array(sorted(chosen), dtype=np.int64)


def shown(name: str, plan: Plan, best: Plan, seconds: float | None = None) -> str:
    """One line of the table."""
    took = "" if seconds is None else f"{seconds:6.1f} s"
    ratio = f"{best.worth / plan.worth:.3f}  {best.expected / plan.expected:.3f}"
    return (
        f"  {name:15} {len(plan.visits):4d} visits  worth {plan.worth:7.1f}  expected {plan.expected:7.1f}"
        f"  ratio {ratio}  {took}"
    )


def main() -> None:
    """Print, for each number of hours, the plan, its gap, and the ratios to the peers."""
    staff = int(sys.argv[1]) if len(sys.argv) > 1 else STAFF
    hours = tuple(float(text) for text in sys.argv[2:]) or HOURS
    print(
        f"{staff} staff, {DAYS} days; ratio: worth, and expected people reached, of the plan over the peer's"
    )
    for each in hours:
        problem = hospital(staff, each)
        began = time.perf_counter()
        plan = solve(problem, seconds=60)
        took = time.perf_counter() - began
        program = build_program(problem, build_windows(problem))
        began = time.perf_counter()
        by_hand = plan_for_windows(program, greedy(program), plan.bound)
        hand_took = time.perf_counter() - began
        spaced = plan_for_windows(program, evenly(program), plan.bound)
        print(
            f"{each:g} hours a week: {plan.outcome.value}, gap {100 * plan.gap:.2f} %, bound {plan.bound:.1f}"
        )
        for name, made, seconds in (
            ("plan", plan, took), ("greedy", by_hand, hand_took), ("evenly spaced", spaced, None)
        ):  # fmt: skip
            print(shown(name, made, plan, seconds))


if __name__ == "__main__":
    main()
