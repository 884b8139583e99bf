"""One instrument or ward by week, against its comparator: is it off, since when, and by how much?"""

import json
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple, TypedDict

from browline import display
from browline.documents.supplement import WeekRow
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, HAIRLINE, INK, QUIET, WARNING

if TYPE_CHECKING:
    import altair as alt

LABELS_ACROSS = 7
FULL_TITLE = 130


class Drawn(NamedTuple):
    """A week with enough readings, and its mean in °C."""

    row: WeekRow
    mean_c: float


class Row(TypedDict):
    """A week as it is drawn: `day` of its middle since the first, values in the reader's unit."""

    day: int
    mean: float
    low: float
    high: float


def weekly_chart(
    points: Sequence[WeekRow],
    subject: str,
    since: date | str | None = None,
    tolerance: float | None = None,
    *,
    unit: str = "C",
    reach: float | None = None,
    comparator: str = "its comparator",
    width: int = 560,
    height: int = 190,
) -> Figure:
    """Weekly means with 95 % intervals.

    - `points`: rows with `week` (its Monday), `n`, `mean_c`, `low_c`, `high_c`, in °C.
    - `since`: first day of the fault, drawn as an upright line.
    - `tolerance`: in °C; given, the means are differences from the comparator and the band is drawn;
      None, they are temperatures.
    - `unit`: C or F, what the reader sees.
    - `comparator`: against what the differences stand, in words.
    - `reach`: in °C; the scale runs from -reach to +reach, so that several charts can be compared.

    Weeks with fewer than ten readings are not drawn and are withheld in the table.
    """
    drawn = [Drawn(p, p.mean_c) for p in points if p.n >= display.FEWEST and p.mean_c is not None]
    sentence = _sentence(points, drawn, subject, since, tolerance, unit, comparator)
    table = _table(points, tolerance, unit)
    if not drawn:
        return Figure(_empty(subject, sentence, width), sentence, table)
    svg = draw(_chart(drawn, since, tolerance, unit, reach, width, height), f"{subject} by week", sentence)
    return Figure(svg, sentence, table)


def _scale(tolerance: float | None, unit: str) -> Callable[[float], float]:
    convert = display.in_unit if tolerance is None else display.in_unit_difference
    return lambda value: convert(value, unit)


def _sentence(
    points: Sequence[WeekRow],
    drawn: Sequence[Drawn],
    subject: str,
    since: date | str | None,
    tolerance: float | None,
    unit: str,
    comparator: str,
) -> str:
    if not drawn:
        return f"{subject}: too few readings in any week to draw."
    say = display.temperature if tolerance is None else display.difference
    quantity = "mean temperature" if tolerance is None else f"difference from {comparator}"
    total = sum(p.n for p in points)
    lowest, highest = min(p.mean_c for p in drawn), max(p.mean_c for p in drawn)
    text = (
        f"{subject}: {quantity} by week, {display.day(drawn[0].row.week)} to {display.day(drawn[-1].row.week)}, "
        f"weekly means from {say(lowest, unit)} to {say(highest, unit)} ({display.number(total)} readings); "
        "upright bars are 95 % intervals."
    )
    return text + (f" Marked: since {display.day(since)}." if since else "")


def _table(points: Sequence[WeekRow], tolerance: float | None, unit: str) -> Table:
    say = display.temperature if tolerance is None else display.difference
    quantity = "mean" if tolerance is None else "difference"
    rows = []
    for p in points:
        known = p.n >= display.FEWEST and p.mean_c is not None
        cells = [say(v, unit) if known and v is not None else "–" for v in (p.mean_c, p.low_c, p.high_c)]
        rows.append((display.day(p.week), display.count(p.n), *cells))
    return Table(("week from", "readings", quantity, "95 % from", "to"), tuple(rows))


def _chart(
    drawn: Sequence[Drawn],
    since: date | str | None,
    tolerance: float | None,
    unit: str,
    reach: float | None,
    width: int,
    height: int,
) -> "alt.LayerChart | alt.FacetChart":
    import altair as alt

    convert = _scale(tolerance, unit)
    first = display.as_date(drawn[0].row.week)
    rows: list[Row] = [
        {
            "day": (display.as_date(p.row.week) - first).days + 3,
            "mean": convert(p.mean_c),
            "low": convert(p.mean_c if p.row.low_c is None else p.row.low_c),
            "high": convert(p.mean_c if p.row.high_c is None else p.row.high_c),
        }
        for p in drawn
    ]
    last = rows[-1]["day"] + 4
    x = alt.X(
        "day:Q", title=None, scale=alt.Scale(domain=[0, last], nice=False), axis=_days(first, last, width)
    )
    scale = alt.Scale(zero=tolerance is not None)
    if reach is not None:
        scale = alt.Scale(domain=[-convert(reach), convert(reach)])
    y = alt.Y("mean:Q", title=_axis_title(tolerance, unit, height), scale=scale)
    base = alt.Chart(alt.Data(values=rows))
    layers = [
        *_tolerance(tolerance, convert, last),
        base.mark_rule(color=ACCENT, strokeWidth=1.4).encode(x, alt.Y("low:Q"), alt.Y2("high:Q")),
        base.mark_point(filled=True, size=34, color=ACCENT, opacity=1).encode(x, y),
        *_since(since, first, last),
    ]
    return alt.layer(*layers).properties(width=width, height=height)


def _axis_title(tolerance: float | None, unit: str, height: int) -> str:
    if tolerance is None:
        return f"mean, °{unit}"
    return f"reads low   ·   °{unit}   ·   reads high" if height >= FULL_TITLE else f"°{unit}"


def _days(first: date, last: int, width: int) -> "alt.Axis":
    """Week starts as labels, few enough to stay apart."""
    import altair as alt

    weeks = max(1, (last + 6) // 7)
    room = max(2, LABELS_ACROSS * width // 560)
    step = -(-weeks // room)
    starts = range(0, last, 7 * step)
    names = {str(d): display.day(first + timedelta(days=d)) for d in starts}
    return alt.Axis(
        values=list(starts),
        labelExpr=f"{json.dumps(names)}[datum.value]",
        labelAlign="left",
        labelFlush=False,
    )


def _tolerance(tolerance: float | None, convert: Callable[[float], float], last: int) -> "list[alt.Chart]":
    """The zero line and the band within which nothing is flagged."""
    import altair as alt

    if tolerance is None:
        return []
    edge = convert(tolerance)
    band = alt.Chart(alt.Data(values=[{"low": -edge, "high": edge, "from": 0, "to": last}]))
    band = band.mark_rect(color=HAIRLINE, opacity=0.45)
    zero = alt.Chart(alt.Data(values=[{"y": 0}])).mark_rule(color=INK, strokeWidth=1)
    edges = alt.Chart(alt.Data(values=[{"y": -edge}, {"y": edge}])).mark_rule(color=QUIET, strokeDash=[3, 3])
    return [
        band.encode(alt.X("from:Q"), alt.X2("to:Q"), alt.Y("low:Q"), alt.Y2("high:Q")),
        edges.encode(alt.Y("y:Q")),
        zero.encode(alt.Y("y:Q")),
    ]


def _since(since: date | str | None, first: date, last: int) -> "list[alt.Chart]":
    import altair as alt

    if since is None:
        return []
    position = (display.as_date(since) - first).days
    if not 0 <= position <= last:
        return []
    late = position > 0.75 * last
    base = alt.Chart(alt.Data(values=[{"day": position, "text": f"since {display.day(since)}"}]))
    label = base.mark_text(align="right" if late else "left", dx=4 if late else -4, dy=-4, baseline="bottom")
    return [
        base.mark_rule(color=WARNING, strokeWidth=1.4, strokeDash=[6, 3]).encode(alt.X("day:Q")),
        label.encode(alt.X("day:Q"), alt.YValue(0), alt.Text("text:N")),
    ]


def _empty(subject: str, sentence: str, width: int) -> str:
    import altair as alt

    chart = alt.Chart(alt.Data(values=[{"text": "too few readings in any week to draw"}]))
    chart = chart.mark_text(color=QUIET).encode(alt.Text("text:N"))
    return draw(chart.properties(width=width, height=40), f"{subject} by week", sentence)
