"""Why somebody has no chance in a plan: the first thing that stands in the way, from what cannot be changed on."""

import numpy as np

from browline.visit_plan.cover import at_once
from browline.visit_plan.problem import Ints, Problem
from browline.visit_plan.result import Reason
from browline.visit_plan.windows import Windows, free_starts, present


def reasons(problem: Problem, windows: Windows, chances: Ints) -> dict[int, Reason]:
    """person -> reason, for everybody to reach who is called to no visit."""
    uncalled = np.flatnonzero(problem.to_reach & (chances == 0))
    on_roster = np.bincount(problem.duties.person, minlength=problem.people) > 0
    could = set(windows.pair_person.tolist())
    visited, without_cover = _met(problem)
    nights = problem.only_nights
    shut = _only_closed(problem)

    def why(person: int) -> Reason:
        if not on_roster[person]:
            return Reason.NOT_ON_ROSTER
        if shut[person]:
            return Reason.WARD
        if person in could:
            return Reason.ROOM
        if person in without_cover:
            return Reason.COVER
        if person in visited:
            return Reason.WARD
        return Reason.NIGHTS if nights[person] else Reason.HOURS

    return {int(person): why(int(person)) for person in uncalled}


def _only_closed(problem: Problem) -> "np.typing.NDArray[np.bool_]":
    """bool[people]: on duty only where no visit can be."""
    shut = np.isin(problem.duties.ward, sorted(problem.closed))
    elsewhere = np.bincount(problem.duties.person[~shut], minlength=problem.people)
    out: np.typing.NDArray[np.bool_] = elsewhere == 0
    return out


def _met(problem: Problem) -> tuple[set[int], set[int]]:
    """Those on duty at some start (on a ward that is open at all), and those of them whose ward could spare nobody."""
    met: set[int] = set()
    spared: set[int] = set()
    for stretch in problem.stretches:
        for start in free_starts(problem, stretch):
            for ward, (on_duty, who) in present(problem, start, problem.visit_h).items():
                if ward not in problem.closed:
                    met.update(who.tolist())
                    if at_once(on_duty, problem.cover):
                        spared.update(who.tolist())
    return met, met - spared
