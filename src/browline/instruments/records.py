"""The input of the room: the register's entries, what rounds observed, cleanings, checks, how much was charted."""

from dataclasses import dataclass
from datetime import date, datetime

STATES = ("present", "in-use", "not-located")
LENSES = ("clean", "cleaned", "dirty")
BATTERIES = ("ok", "low", "dead", "new")

# Kinds of thermometer that have no lens to clean.
WITHOUT_LENS = ("contact", "probe")


@dataclass(frozen=True)
class Entry:
    """An instrument as the register has it; empty texts and None where it does not say.

    In service from `start` to `end`, both days included. `listed` is false for one only ever seen in charts or on a
    round.
    """

    name: str
    ward: str = ""
    unit: str = ""
    mode: str = ""
    kind: str = ""
    model: str = ""
    start: date | None = None
    end: date | None = None
    listed: bool = True


@dataclass(frozen=True, order=True)
class Sighted:
    """What one round observed of one instrument. Empty texts: not observed.

    Ordered by time; at the same moment the less welcome answer comes last and so stands.
    """

    time: datetime
    rank: int
    instrument: str
    ward: str = ""
    lens: str = ""
    mode: str = ""
    unit: str = ""
    battery: str = ""

    @classmethod
    def from_words(cls, instrument: str, time: datetime, state: str, **answers: str) -> "Sighted":
        """A sighting in the words of the store: `state` is one of `STATES`."""
        return cls(time, STATES.index(state), instrument, **answers)

    @property
    def state(self) -> str:
        """present, in-use or not-located."""
        return STATES[self.rank]

    @property
    def located(self) -> bool:
        """Whether the round found it."""
        return self.state != "not-located"


@dataclass(frozen=True)
class Cleaned:
    """One cleaning; an empty `part` may have been the lens and counts as such, as in the review."""

    instrument: str
    time: datetime
    part: str = ""


@dataclass(frozen=True)
class Checked:
    """One comparison with a reference: what each showed, °C, and the conclusion that was written, "" for none."""

    instrument: str
    time: datetime
    reference_c: float | None = None
    shown_c: float | None = None
    result: str = ""

    @property
    def error_c(self) -> float | None:
        """How far it read from the reference, positive = high; None where the numbers are not known."""
        if self.reference_c is None or self.shown_c is None:
            return None
        return self.shown_c - self.reference_c


@dataclass(frozen=True)
class Charted:
    """How much was charted with an instrument lately: `readings` in `days` (over 0), the `last` of them on `ward`."""

    readings: int
    days: float
    last: datetime | None = None
    ward: str = ""

    @property
    def per_day(self) -> float:
        """Readings a day."""
        return self.readings / self.days
