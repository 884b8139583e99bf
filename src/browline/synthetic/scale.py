"""How large the invented hospital is: wards, instruments, staff and days for a number of readings.

Two sizes are anchored (60,000 and 1,000,000 readings); other numbers lie on the power law through both,
so that any size keeps a believable number of readings for each instrument and person.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from browline.errors import NotUnderstood

Size = Literal["small", "full"] | int

NAMED = {"small": 60_000, "full": 1_000_000}
LAST_DAY = date(2026, 4, 12)
FEWEST = 2_000


@dataclass(frozen=True)
class Scale:
    """`readings` aimed at, number of `wards`, `instruments`, `staff` and `days`; all positive."""

    readings: int
    wards: int
    instruments: int
    staff: int
    days: int

    @property
    def first_day(self) -> date:
        """The first day of the export; both sizes end on `LAST_DAY`, so the cold months are inside."""
        return LAST_DAY - timedelta(days=self.days - 1)


def read_scale(size: Size) -> Scale:
    """The scale for a named size or a number of readings.

    >>> read_scale("small")
    Scale(readings=60000, wards=10, instruments=40, staff=180, days=182)
    >>> read_scale("full").instruments
    200
    """
    readings = NAMED.get(size, 0) if isinstance(size, str) else int(size)
    if readings < FEWEST:
        raise NotUnderstood(
            f"An invented hospital of size {size!r} was asked for.",
            f"Wanted small, full, or a number of readings of at least {FEWEST}.",
            "Choose one of these.",
        )
    ratio = readings / NAMED["small"]
    return Scale(
        readings=readings,
        wards=max(4, round(10 * ratio**0.39)),
        instruments=max(20, round(40 * ratio**0.572)),
        staff=max(40, round(180 * ratio**0.754)),
        days=min(365, max(60, round(182 * ratio**0.2474))),
    )
