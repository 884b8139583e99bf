"""Who is to be reached, and who is not counted although nobody signed them off, with the reason."""

from collections.abc import Mapping, Sequence
from datetime import date

from browline.competency import coverage
from browline.competency.staff import Duty, Member
from browline.services.training.visit_plan.options import NOT_TAUGHT, Options
from browline.shifts import ON_DUTY


def known(members: Mapping[int, Member], lines: Sequence[Duty]) -> dict[int, Member]:
    """Those on the staff list or on the roster of these weeks; whoever only signed in once is neither."""
    rostered = {line.person for line in lines if line.kind in ON_DUTY}
    return {p: m for p, m in members.items() if m.listed or p in rostered}


def not_reached(members: Mapping[int, Member], options: Options) -> set[int]:
    """Those whom a plan of this kind is for, were they there."""
    return {
        person
        for person, member in members.items()
        if not member.standing.stands.current
        and not (options.whom == NOT_TAUGHT and member.standing.attended is not None)
    }


def excluded(members: Mapping[int, Member], lines: Sequence[Duty], first: date, last: date) -> dict[int, str]:
    """person -> why they are not counted in these weeks, by the same rule as the coverage."""
    of_these = [line for line in lines if line.person in members]
    asked = coverage.over_days(members, of_these, first, last)
    return {member.person: reason for member, reason in coverage.solve(asked).excluded}
