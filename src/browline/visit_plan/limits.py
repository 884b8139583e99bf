"""The limits on visits as rows of the program: hours, days, wards, starts to be had, nights, weekends and rest.

What is already arranged counts first; where it alone passes a limit, nothing is added to it and it is kept.
"""

import math
from collections import defaultdict
from collections.abc import Callable, Hashable
from itertools import product
from typing import TypeVar

from browline.visit_plan.problem import DAY_H, NIGHT, WEEKEND, Problem
from browline.visit_plan.rows import Rows
from browline.visit_plan.windows import FIXED, Window, Windows
from browline.visit_plan.working_days import clashes, in_use, shut

Key = TypeVar("Key", bound=Hashable)


def limit_rows(rows: Rows, problem: Problem, windows: Windows) -> None:
    """Add every limit on which windows can be visited together. Window v is variable v, stretch s V + s."""
    _hours(rows, problem, windows)
    _days(rows, problem, windows)
    _starts(rows, windows)
    _stretches(rows, problem, windows)


def _hours(rows: Rows, problem: Problem, windows: Windows) -> None:
    """Visits in a week: as many as fit into the hours left, a whole number, which makes the bound tighter."""
    groups = _grouped(windows, lambda w: problem.week(w.day))
    spent = defaultdict(float, problem.spent)
    for visit in problem.fixed:
        spent[problem.week(int(visit.start // DAY_H))] += visit.hours + problem.walk_h
    remaining = {week: max(problem.limits.hours_a_week - spent[week], 0.0) for week in groups}
    rows.at_most(groups, {week: math.floor(remaining[week] / problem.cost_h + 1e-9) for week in groups})


def _days(rows: Rows, problem: Problem, windows: Windows) -> None:
    limits = problem.limits
    arranged = [w for w in windows.windows if w.stretch == FIXED]
    by_day = _grouped(windows, lambda w: w.day)
    rows.at_most(
        by_day, {day: max(limits.visits_a_day - sum(w.day == day for w in arranged), 0) for day in by_day}
    )
    by_ward = _grouped(windows, lambda w: (w.ward, w.day))
    taken = {key: sum((w.ward, w.day) == key for w in arranged) for key in by_ward}
    rows.at_most(by_ward, {key: max(limits.visits_a_ward_day - taken[key], 0) for key in by_ward})


def _starts(rows: Rows, windows: Windows) -> None:
    """Hall's condition: of windows whose starts lie in a run of m starts at most m; none in a stretch not used.

    Each window has a run itself, so this is all it takes. Times the use of the stretch, the bound is tighter.
    """
    for stretch, chosen in _grouped(windows, lambda w: w.stretch).items():
        firsts = sorted({windows.windows[v].first for v in chosen})
        lasts = sorted({windows.windows[v].last for v in chosen})
        for a, b in product(firsts, lasts):
            within = [v for v in chosen if a <= windows.windows[v].first and windows.windows[v].last <= b]
            if a <= b and len(within) > b - a + 1:
                _only_if_used(rows, windows, within, stretch, b - a + 1)


def _only_if_used(rows: Rows, windows: Windows, chosen: list[int], stretch: int, most: int) -> None:
    """At most so many of these windows, and none unless their stretch is used."""
    visits = len(chosen)
    rows.add([0] * (visits + 1), [*chosen, len(windows) + stretch], [1.0] * visits + [-most], [0.0])


def _stretches(rows: Rows, problem: Problem, windows: Windows) -> None:
    """A window needs its stretch; nights and weekend days used are few; two stretches too close are not both used."""
    offset, limits = len(windows), problem.limits
    used, unusable = in_use(problem), shut(problem) - in_use(problem)
    by_ward = _grouped(windows, lambda w: (w.stretch, w.ward))
    for (stretch, _), chosen in by_ward.items():
        _only_if_used(rows, windows, chosen, stretch, limits.visits_a_ward_day)
    for time, most in ((NIGHT, limits.nights), (WEEKEND, limits.weekends)):
        numbers = [s for s, stretch in enumerate(problem.stretches) if stretch.time == time]
        if len(numbers) > most:
            used_count = sum(s in used for s in numbers)
            rows.at_most({time: [offset + s for s in numbers]}, {time: max(most, used_count)})
    for first, second in clashes(problem):
        both = first in used and second in used
        rows.at_most({0: [offset + first, offset + second]}, {0: 2 if both else 1})
    rows.at_most({s: [offset + s] for s in unusable}, dict.fromkeys(unusable, 0))


def _grouped(windows: Windows, key: Callable[[Window], Key]) -> dict[Key, list[int]]:
    """Numbers of the windows still to be decided, by a key of each."""
    groups: dict[Key, list[int]] = defaultdict(list)
    for number, window in enumerate(windows.windows):
        if window.stretch != FIXED:
            groups[key(window)].append(number)
    return dict(groups)
