"""What a chart of a review's report is drawn from: its rows, and what differs from its usual size or words."""

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


ChartRows = RunRows | WeeklyRows | IntervalRows | AroundRows
