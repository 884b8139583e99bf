"""Instruments whose unit or mode a round found to differ from the register.

One in the other unit misleads at every reading. Builds of one instrument for core and for oral-equivalent numbers
differ by about 0.4 °C (0.8 °F), so a mixed fleet is a silent difference between wards.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from browline.instruments.records import Entry, Sighted

MODE_DIFFERENCE_C = 0.4


@dataclass(frozen=True)
class Mismatch:
    """The latest look at `what` differs from the register.

    `charts`: the unit that the charted numbers come from, "" where they cannot tell.
    """

    entry: Entry
    what: Literal["unit", "mode"]
    registered: str
    shown: str
    sighting: Sighted
    charts: str = ""

    @property
    def register_doubted(self) -> bool:
        """Whether rounds and charts agree against the register: then it is the register that is to be put right."""
        return self.what == "unit" and self.charts == self.shown

    @property
    def urgency(self) -> tuple[bool, str]:
        """Sorts units before modes."""
        return (self.what != "unit", self.entry.name)


def mismatches(entry: Entry, sightings: Sequence[Sighted], charts: str = "") -> tuple[Mismatch, ...]:
    """What differs; `sighting` are the instrument's sightings in time order, `charts` the unit its charts come from."""
    differences = []
    if (look := next((s for s in reversed(sightings) if s.unit), None)) and entry.unit not in ("", look.unit):
        differences.append(
            Mismatch(
                entry=entry, what="unit", registered=entry.unit, shown=look.unit, sighting=look, charts=charts
            )
        )
    if (look := next((s for s in reversed(sightings) if s.mode), None)) and entry.mode not in ("", look.mode):
        differences.append(
            Mismatch(entry=entry, what="mode", registered=entry.mode, shown=look.mode, sighting=look)
        )
    return tuple(differences)
