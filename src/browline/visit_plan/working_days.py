"""Which stretches of the educator's time can both be used, and which count as a night or a weekend day.

Two stretches belong to one working day if they lie within `DUTY_SPAN_H` hours from first start to last end and no
more than `BREAK_H` hours lie between; otherwise `rest_h` hours must lie between them.
"""

from itertools import combinations

from browline.visit_plan.problem import BREAK_H, DUTY_SPAN_H, FixedVisit, Problem, Stretch

Span = tuple[float, float]


def too_close(span_a: Span, span_b: Span, rest_h: float) -> bool:
    """Whether both cannot be worked.

    >>> too_close((8, 16), (20, 25), 11), too_close((8, 12), (15, 20), 11), too_close((20, 25), (36, 40), 11)
    (True, False, False)
    """
    first, second = sorted((span_a, span_b))
    between = second[0] - first[1]
    same_day = max(first[1], second[1]) - first[0] <= DUTY_SPAN_H + 1e-9 and between <= BREAK_H + 1e-9
    return not same_day and between < rest_h - 1e-9


def clashes(problem: Problem) -> list[tuple[int, int]]:
    """Pairs of stretches of which only one can be used."""
    return [
        (i, j)
        for (i, first), (j, second) in combinations(enumerate(problem.stretches), 2)
        if second.start - first.end < problem.limits.rest_h + DUTY_SPAN_H
        and too_close(_span(first), _span(second), problem.limits.rest_h)
    ]


def in_use(problem: Problem) -> set[int]:
    """Stretches in which a visit is already arranged."""
    return {
        number
        for number, stretch in enumerate(problem.stretches)
        if any(_within(visit, stretch) for visit in problem.fixed)
    }


def shut(problem: Problem) -> set[int]:
    """Stretches that cannot be used for the rest due around an arranged visit outside them."""
    return {
        number
        for number, stretch in enumerate(problem.stretches)
        for visit in problem.fixed
        if not _within(visit, stretch)
        and too_close((visit.start, visit.start + visit.hours), _span(stretch), problem.limits.rest_h)
    }


def _span(stretch: Stretch) -> Span:
    return stretch.start, stretch.end


def _within(visit: FixedVisit, stretch: Stretch) -> bool:
    return stretch.start - 1e-9 <= visit.start < stretch.end
