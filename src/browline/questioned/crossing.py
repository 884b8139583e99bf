"""Which readings cross a line, high or low: the furthest on each side.

A line that is met is crossed; only the low line of the youngest is where the normal range begins, and has to be passed.
"""

from dataclasses import dataclass

from browline.questioned.problem import Problem

YOUNGEST = "under-3-months"


@dataclass(frozen=True)
class Crossing:
    """Indices of the readings furthest over the fever line (`high`) and furthest under the low line (`low`), if any."""

    high: int | None
    low: int | None

    @property
    def readings(self) -> tuple[int, ...]:
        """The readings to act on, in the order of the problem: two where lines are crossed on both sides."""
        return tuple(sorted(k for k in (self.high, self.low) if k is not None))

    @property
    def safer(self) -> int | None:
        """The one reading to act on; None where no line is crossed, and where neither of two is the safer."""
        return self.readings[0] if len(self.readings) == 1 else None

    @property
    def act_as(self) -> str | None:
        """What the lines alone ask for: fever, low or both; None where none is crossed."""
        if self.high is not None:
            return "fever" if self.low is None else "both"
        return None if self.low is None else "low"


def crossing(problem: Problem) -> Crossing:
    """The lines that the readings of a problem cross.

    >>> from browline.questioned import Reading
    >>> crossing(Problem((Reading(34.7, "axillary", 2), Reading(38.2, "oral", 2)))).act_as
    'both'
    """
    values = [reading.value_c for reading in problem.readings]
    highest, lowest = max(values), min(values)
    under = lowest < problem.low_c if problem.age == YOUNGEST else lowest <= problem.low_c
    return Crossing(
        high=values.index(highest) if highest >= problem.fever_c else None,
        low=values.index(lowest) if under else None,
    )
