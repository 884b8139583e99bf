"""What charts are drawn from: their rows, and what differs from a chart's usual words."""

from datetime import date

from msgspec import Struct

from browline.documents.encoding import Number
from browline.documents.model import AroundMonth
from browline.documents.supplement import EventRow, MonthRow, WeekRow


class IntervalMark(Struct, frozen=True, kw_only=True):
    """One row: difference and 95 % interval in °C, None where not known, of `n` readings."""

    name: str
    low: Number | None = None
    estimate: Number | None = None
    high: Number | None = None
    n: int
    flagged: bool = False


class RunRows(Struct, frozen=True, kw_only=True):
    """The share that cannot be relied on, by month, with dated events."""

    months: tuple[MonthRow, ...]
    events: tuple[EventRow, ...] = ()


class WeeklyRows(Struct, frozen=True, kw_only=True):
    """One instrument or ward by week; `tolerance` and `reach` in °C, `since` the first day of a fault."""

    points: tuple[WeekRow, ...]
    subject: str
    since: str | None = None
    tolerance: Number | None = None
    reach: Number | None = None
    comparator: str = "its comparator"


class IntervalRows(Struct, frozen=True, kw_only=True):
    """Estimates with their intervals, one row each; `tolerance` in °C."""

    rows: tuple[IntervalMark, ...]
    tolerance: Number | None = None


class AroundRows(Struct, frozen=True, kw_only=True):
    """The months before and after sign-off."""

    months: tuple[AroundMonth, ...]


class StayReading(Struct, frozen=True, kw_only=True):
    """A reading of a stay in °C, by the clock of the ward; None or empty where its site was not charted."""

    time: str
    value_c: Number
    site: str | None = None


class SharePoint(Struct, frozen=True, kw_only=True):
    """A week or month from its `start` with `n` readings; shares in [0, 1], limits beyond that or None for none."""

    start: date
    n: int
    share: Number
    centre: Number
    low: Number | None = None
    high: Number | None = None
    outside: bool = False


class FunnelUnit(Struct, frozen=True, kw_only=True):
    """A ward with `n` readings; `share` in [0, 1], None where none can be told.

    `stands`: inside, outside-low, outside-high or too-few-to-tell.
    """

    name: str
    n: int
    share: Number | None = None
    stands: str


class FunnelLimit(Struct, frozen=True, kw_only=True):
    """The shares between which 95 and 99.8 of 100 wards with `n` readings lie; beyond [0, 1] there is no limit."""

    n: Number
    low95: Number
    high95: Number
    low998: Number
    high998: Number


class WardInstruments(Struct, frozen=True, kw_only=True):
    """A ward with `n` readings: instruments for ten beds, and a share in [0, 1] with its 95 % interval."""

    ward: str
    per_ten_beds: Number | None = None
    share: Number | None = None
    low: Number
    high: Number
    n: int


class CauseBar(Struct, frozen=True, kw_only=True):
    """A cause in `n` lines; shares in [0, 1] with 95 % interval, `cumulative` with those above it."""

    name: str
    n: int
    share: Number
    low: Number
    high: Number
    cumulative: Number


ChartRows = RunRows | WeeklyRows | IntervalRows | AroundRows
