"""The audit's part of a review's supplement: each ward's signals and weeks, and the unit that numbers come from."""

from msgspec import Struct

from browline.documents.encoding import Number


class SignalRow(Struct, frozen=True, kw_only=True):
    """One test of one ward as the audit answered it; `turned` and `since`: when its share took a step, or rose."""

    test: str
    outcome: str
    at: str
    since: str | None = None
    turned: str | None = None
    n: int
    effect: Number | None = None
    low: Number | None = None
    high: Number | None = None
    observed: Number | None = None
    expected: Number | None = None
    least: Number | None = None
    before: Number | None = None
    after: Number | None = None
    answer: str = ""
    sentence: str = ""
    causes: tuple[str, ...] = ()


class AuditWeek(Struct, frozen=True, kw_only=True):
    """A week of a ward as the audit counted it; `favourite` of `favourite_of` stand at the favoured value."""

    week: str
    n: int
    favourite: int | None = None
    favourite_of: int | None = None
    site_missing: int
    unlikely: Number


class AuditWard(Struct, frozen=True, kw_only=True):
    """A ward as the audit saw it.

    `instruments`, from the register or from charts, and `patients` read on a usual day.
    """

    ward: str
    care: str | None = None
    n: int
    unlikely: Number
    signals: tuple[SignalRow, ...] = ()
    favourite: str | None = None
    favourite_expected: Number | None = None
    weeks: tuple[AuditWeek, ...] = ()
    instruments: Number | None = None
    instruments_from: str = ""
    patients: Number | None = None


class UnitRow(Struct, frozen=True, kw_only=True):
    """Which unit an instrument's or a ward's numbers come from, beside what the register says."""

    type: str
    subject: str
    n: int = 0
    shows: str | None = None
    registered: str | None = None
    chance: Number | None = None
    converted: Number | None = None
    low: Number | None = None
    high: Number | None = None
    charted: str = ""


class AuditPart(Struct, frozen=True, kw_only=True):
    """The audit's part."""

    fever_c: Number = 38.0
    wards: tuple[AuditWard, ...] = ()
    units: tuple[UnitRow, ...] = ()
