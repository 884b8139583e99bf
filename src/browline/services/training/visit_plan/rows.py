"""A plan as the book keeps it: its visits, chances and reasons by key, with the type of every row."""

from typing import TypedDict

from browline.store.models import SessionPlan


class VisitRow(TypedDict):
    """One visit. `calls`: a person and which of their chances it is; `session`: the one made of it, if any."""

    key: str
    time: str
    minutes: int
    ward: str
    shift: str
    on_duty: int
    places: int
    expected: float
    calls: list[list[int]]
    session: int | None
    kept: bool


class HeldRow(TypedDict):
    """A ward and time of the week: its turns, and on how many of them a champion who is signed off is on."""

    ward: str
    shift: str
    turns: int
    held: int
    champions: list[int]
    not_signed_off: int


class PlanResult(TypedDict):
    """The whole plan. `helpers`: for a person without a chance, who works most beside them, and on how many turns."""

    format: str
    outcome: str
    to_reach: int
    with_chance: int
    expected: float
    hours: float
    worth: float
    bound: float
    gap: float | None
    on_roster: int
    days_on_roster: int
    visits: list[VisitRow]
    make_ups: dict[str, list[int]]
    once: list[int]
    unreached: dict[str, list[int]]
    excluded: dict[str, list[int]]
    helpers: dict[str, list[int]]
    champions: list[HeldRow]


def result_of(plan: SessionPlan) -> PlanResult:
    """The result that a plan keeps."""
    kept: PlanResult = plan.result
    return kept
