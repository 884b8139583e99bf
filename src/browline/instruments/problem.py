"""What is asked: the records of the kit up to now, and the terms that apply."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from browline.instruments.battery import BATTERY_READINGS
from browline.instruments.check import CHECK_DAYS
from browline.instruments.records import Charted, Checked, Cleaned, Entry, Sighted

# Below this the spread of a battery rounds to nothing, and nothing can be drawn from it.
LEAST_LASTS = 10


@dataclass(frozen=True)
class Problem:
    """The kit of a hospital.

    - `now`: the moment asked about, in the zone of the wards; its day is today.
    - `register`: every instrument known, names unique. `sightings`, `cleanings`, `checks`: in any order.
    - `charted`: readings charted lately by instrument; `charts_end`: the last reading of the charts, None without any;
      `charted_past`: readings charted past the date of each lens, as far as the charts reach.
    - `charted_units`: the unit (C or F) that an instrument's charted numbers come from, where they can tell.
    - `need`: instruments a ward should have ready, where stated.
    - `flagged`: instruments with an open finding of the review.
    - `clean_days`: days a cleaned lens is good for; `locate_days`: days a sighting is; `check_days`: a check.
    - `battery_readings`: readings a battery lasts, by model; "" stands for any other model.
    """

    now: datetime
    register: tuple[Entry, ...]
    sightings: tuple[Sighted, ...] = ()
    cleanings: tuple[Cleaned, ...] = ()
    checks: tuple[Checked, ...] = ()
    charted: Mapping[str, Charted] = field(default_factory=dict)
    charts_end: datetime | None = None
    charted_past: Mapping[str, int] = field(default_factory=dict)
    charted_units: Mapping[str, str] = field(default_factory=dict)
    need: Mapping[str, int] = field(default_factory=dict)
    flagged: frozenset[str] = frozenset()
    clean_days: int = 14
    locate_days: int = 7
    check_days: int = CHECK_DAYS
    battery_readings: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse what would make two answers of one instrument, or none."""
        if self.now.tzinfo is None:
            raise ValueError("now must say its zone")
        if len({entry.name for entry in self.register}) != len(self.register):
            raise ValueError("two entries of the register have one name")
        if min(self.clean_days, self.locate_days, self.check_days) < 1:
            raise ValueError("a term is at least a day")
        if not all(readings >= LEAST_LASTS for readings in self.battery_readings.values()):
            raise ValueError(f"a battery that lasts under {LEAST_LASTS} readings cannot be forecast")

    @property
    def today(self) -> date:
        """The wards' own day."""
        return self.now.date()

    def day_of(self, moment: datetime) -> date:
        """The wards' own day of a moment."""
        return moment.astimezone(self.now.tzinfo).date()

    def lasts(self, model: str) -> float:
        """Readings that a battery lasts in this model."""
        return self.battery_readings.get(model, self.battery_readings.get("", BATTERY_READINGS))
