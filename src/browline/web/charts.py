"""The chart of one instrument, ward or stay, drawn twice: wide, and narrow for a telephone."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from browline.duties import choices, series
from browline.figures import Figure, stay_chart, weekly_chart
from browline.store.book import Book

WIDE = 900
NARROW = 250
DRAWN = ("instrument", "ward", "stay")


@dataclass(frozen=True)
class Chart:
    """Both drawings, what they show in one sentence, and the table behind them."""

    title: str
    wide: str
    narrow: str
    sentence: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def chart_of(book: Book, what: str, name: str, since: date | str | None = None) -> Chart | None:
    """The chart of a named thing, or None where nothing by that name was charted."""
    if what not in DRAWN:
        return None
    found = series.series(book, what=what, name=name)
    if not found.points:
        return None
    title = f"{what.capitalize()} {name}"
    wide, narrow = (_drawn(what, title, found.points, since, width) for width in (WIDE, NARROW))
    return Chart(title, wide.svg, narrow.svg, wide.sentence, wide.table.headings, wide.table.rows)


def _drawn(what: str, title: str, points: Any, since: date | str | None, width: int) -> Figure:
    unit = choices.choice("show_unit")
    if what == "stay":
        return stay_chart(points, unit=unit, width=width)
    return weekly_chart(points, title, since, choices.choice("tolerance_c"), unit=unit, width=width)
