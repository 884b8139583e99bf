"""The answer: every instrument in service, one count, and each ward."""

from collections.abc import Mapping
from dataclasses import dataclass

from browline.instruments.battery import Battery
from browline.instruments.check import CheckDue
from browline.instruments.due import LensDue
from browline.instruments.mismatch import Mismatch
from browline.instruments.records import Entry
from browline.instruments.wards import WardKit
from browline.instruments.whereabouts import Place, State


@dataclass(frozen=True)
class Count:
    """How many are where. `later`: registered, but not yet in service; `unlisted`: seen, but not in the register.

    `walked`: whether any round has been made; before it, nothing says where an instrument is.
    """

    present: int
    in_use: int
    not_located: int
    retired: int
    later: int
    unlisted: int
    walked: bool = True

    @property
    def in_service(self) -> int:
        """The one denominator: in the register and in service; retired ones are beside it."""
        return self.present + self.in_use + self.not_located

    @property
    def located(self) -> int:
        """Present or in use."""
        return self.present + self.in_use

    @property
    def registered(self) -> int:
        """Every entry of the register."""
        return self.in_service + self.retired + self.later


@dataclass(frozen=True)
class Fleet:
    """The kit today. `places` are those of the register, `lenses` to `checks` those in service, by name."""

    count: Count
    places: Mapping[str, Place]
    lenses: Mapping[str, LensDue]
    batteries: Mapping[str, Battery]
    mismatches: tuple[Mismatch, ...]
    checks: Mapping[str, CheckDue]
    wards: tuple[WardKit, ...]
    later: tuple[Entry, ...]
    unlisted: tuple[Entry, ...]

    def that_are(self, state: State) -> tuple[Place, ...]:
        """The places in one state."""
        return tuple(place for place in self.places.values() if place.state is state)
