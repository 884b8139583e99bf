"""What a review keeps of the audit: each ward's signals and weeks, and which unit its numbers come from."""

from typing import Required, TypedDict


class SignalRow(TypedDict, total=False):
    """One test of one ward as the audit answered it."""

    test: Required[str]
    outcome: Required[str]
    at: Required[str]
    since: Required[str | None]
    turned: str | None
    n: Required[int]
    effect: Required[float | None]
    low: Required[float | None]
    high: Required[float | None]
    observed: float | None
    expected: float | None
    least: float | None
    before: float | None
    after: float | None
    answer: Required[str]
    sentence: Required[str]
    causes: list[str]


class AuditWeek(TypedDict):
    """A week of a ward as the audit counted it."""

    week: str
    n: int
    favourite: int | None
    favourite_of: int | None
    site_missing: int
    unlikely: float


class AtHand(TypedDict):
    """Instruments of a ward, whence they are known, and patients read on a usual day."""

    instruments: float | None
    instruments_from: str
    patients: float | None


class AuditWard(AtHand):
    """A ward as the audit saw it."""

    ward: str
    care: str | None
    n: int
    unlikely: float
    signals: list[SignalRow]
    favourite: str | None
    favourite_expected: float | None
    weeks: list[AuditWeek]


class UnitRow(TypedDict):
    """Which unit an instrument's or a ward's numbers come from."""

    type: str
    subject: str
    n: int
    shows: str | None
    registered: str | None
    chance: float
    converted: float | None
    low: float | None
    high: float | None
    charted: str


class AuditPart(TypedDict, total=False):
    """The audit's part."""

    fever_c: float
    wards: list[AuditWard]
    units: list[UnitRow]
