"""What comes of it: visits with their names, what the plan is worth and could be worth, and who stays unreached."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from browline.visit_plan.outcome import Outcome
from browline.visit_plan.problem import Ints


class Reason(StrEnum):
    """Why somebody has no chance in this plan."""

    NOT_ON_ROSTER = "not-on-the-roster"
    WARD = "ward-without-visits"
    NIGHTS = "only-nights"
    HOURS = "only-when-you-cannot-come"
    COVER = "cover"
    ROOM = "no-room"

    @property
    def sentence(self) -> str:
        """Why, and what helps."""
        return _REASONS[self]


_REASONS = {
    Reason.NOT_ON_ROSTER: "Not on the roster of these weeks; ask where and when they work.",
    Reason.WARD: "On duty only on wards where no visit can be; ask for a visit there, or teach them elsewhere.",
    Reason.NIGHTS: "On duty only at night, and no night visit can meet them; add a night, or ask a champion.",
    Reason.HOURS: "On duty only at times when you cannot come; add a time, or ask a champion.",
    Reason.COVER: "On duty when a visit could be, but too few are there for anyone to leave; teach at the bedside.",
    Reason.ROOM: (
        "On duty when a visit could be, but beyond the hours, nights and places of this plan; add some, or ask a"
        " champion."
    ),
}


@dataclass(frozen=True)
class Visit:
    """One visit. `who` int[names] and `chance` int[names], the how-manieth chance of each; `expected` people reached.

    `stretch` and `fixed`: which of the problem's stretches it lies in, or which arranged visit it is.
    """

    ward: int
    start: float
    hours: float
    stretch: int | None
    fixed: int | None
    on_duty: int
    places: int
    who: Ints
    chance: Ints
    expected: float

    @property
    def new(self) -> Ints:
        """Those whose first chance this is."""
        first: Ints = self.who[self.chance == 1]
        return first


@dataclass(frozen=True)
class Plan:
    """The result. `worth`: people reached, sooner counting more, less the price of hours; `bound`: no plan's is more.

    `expected`: people reached by the end. `chances` int[people]: how many each has. `unreached`: person -> reason.
    """

    outcome: Outcome
    visits: tuple[Visit, ...]
    worth: float
    bound: float
    expected: float
    hours: float
    chances: Ints
    unreached: Mapping[int, Reason]

    @property
    def gap(self) -> float:
        """How much better another plan could be at most, as a share of the bound; 0 where this one is best."""
        return max(self.bound - self.worth, 0.0) / self.bound if self.bound > 1e-12 else 0.0

    def make_ups(self, person: int) -> list[int]:
        """Numbers of the visits at which a person has a further chance."""
        return [
            v for v, visit in enumerate(self.visits) if np.any((visit.who == person) & (visit.chance > 1))
        ]
