"""What a report gives each of its drawings: the rows, and what differs from a drawing's usual size or words."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NotRequired, TypedDict

Rows = Sequence[Mapping[str, object]]


class Size(TypedDict):
    """Pixels, where the usual ones do not fit."""

    width: NotRequired[int]
    height: NotRequired[int]


class RunArguments(Size):
    """As `run_chart` takes them."""

    months: Rows
    events: NotRequired[Rows]


class WeeklyArguments(Size):
    """As `weekly_chart` takes them; the unit is the report's."""

    points: Rows
    subject: str
    since: NotRequired[date | str | None]
    tolerance: NotRequired[float | None]
    reach: NotRequired[float | None]
    comparator: NotRequired[str]


class IntervalArguments(TypedDict):
    """As `interval_chart` takes them; its title and unit are the report's, its height follows its rows."""

    rows: Rows
    tolerance: NotRequired[float | None]
    width: NotRequired[int]


class AroundArguments(Size):
    """As `around_chart` takes them; the unit is the report's."""

    months: Rows
