"""A share over time with the limits it stays within: is it steady, and what happened when it was not?"""

import json
from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, NotRequired, TypedDict

from browline import display
from browline.documents.charts import SharePoint
from browline.documents.supplement import EventRow
from browline.figures import dated
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, HAIRLINE, INK, QUIET
from browline.figures.percent import ABOVE, OVER_LETTERS, percent

if TYPE_CHECKING:
    import altair as alt

LABEL_WIDTH = 44
HEADROOM = 1.12
UNLIKELY = "Share of readings unlikely to have been measured"


Row = TypedDict(
    "Row",
    {
        "from": int,
        "to": int,
        "middle": float,
        "share": float,
        "outside": bool,
        "centre": NotRequired[float],
        "low": NotRequired[float],
        "high": NotRequired[float],
    },
)


class Cut(Row):
    """A row whose upper limit is `cut` at the top of the chart."""

    cut: bool


def share_chart(
    points: Sequence[SharePoint],
    events: Sequence[EventRow] = (),
    *,
    measure: str = UNLIKELY,
    subject: str = "",
    period: str = "week",
    caveat: str = "",
    width: int = 600,
    height: int = 200,
) -> Figure:
    """The share by week or month with its centre and limits; points outside are ringed and named in the table.

    - `points`: in order of time. `events`: those outside the points are not drawn.
    - `measure`: title and start of the sentence. `subject`: a ward. `period`: week or month.
    - `caveat`: how often the chart is wrong, for the end of the sentence.

    Points with fewer than ten readings are not drawn and are withheld in the table.
    """
    title = f"{measure}{f', {subject}' if subject else ''}, by {period}"
    drawn = [p for p in points if p.n >= display.FEWEST]
    if not drawn:
        sentence = f"{title}: too few readings in any {period} to draw."
        return Figure(_empty(title, sentence, width), sentence, _table(points, period))
    first, days = _start(drawn[0]), (_end(drawn[-1], period) - _start(drawn[0])).days
    marked = dated.placed(events, first, days, width)
    sentence = _sentence(title, drawn, caveat) + dated.sentence(marked)
    svg = draw(_chart(drawn, measure, marked, first, days, period, width, height), title, sentence)
    return Figure(svg, sentence, _table(points, period))


def _start(point: SharePoint) -> date:
    return point.start


def _end(point: SharePoint, period: str) -> date:
    """The day after the point's last."""
    start = _start(point)
    if period == "week":
        return start + timedelta(days=7)
    return (start.replace(day=1) + timedelta(days=32)).replace(day=1)


def _sentence(title: str, drawn: Sequence[SharePoint], caveat: str) -> str:
    total, out = sum(p.n for p in drawn), [p for p in drawn if p.outside]
    text = f"{title}, from {display.day(drawn[0].start)}: {_usual(drawn)}{display.number(total)} readings; "
    if out:
        text += f"outside the usual range: {display.listed([display.day(p.start) for p in out], 6)} (ringed)"
    else:
        text += (
            "none outside the usual range" if drawn[0].low is not None else "too few to tell a usual range"
        )
    return text + (f"; {caveat}." if caveat else ".")


def _usual(drawn: Sequence[SharePoint]) -> str:
    return f"usual level {display.share(drawn[-1].centre)}, "


def _table(points: Sequence[SharePoint], period: str) -> Table:
    rows = []
    for p in points:
        if p.n < display.FEWEST:
            rows.append((display.day(p.start), display.FEWER, "–", "–", "–", ""))
            continue
        low, high = (_limit(limit) for limit in (p.low, p.high))
        rows.append(
            (
                display.day(p.start),
                display.count(p.n),
                display.share(p.share),
                low,
                high,
                "outside" if p.outside else "",
            )
        )
    return Table((f"{period} from", "readings", "share", "usual from", "to", "stands"), tuple(rows))


def _limit(value: float | None) -> str:
    return "–" if value is None else display.share(min(1.0, max(0.0, value)))


def _chart(
    drawn: Sequence[SharePoint],
    measure: str,
    marked: Sequence[dated.OnDay],
    first: date,
    days: int,
    period: str,
    width: int,
    height: int,
) -> "alt.LayerChart | alt.FacetChart | alt.VConcatChart":
    import altair as alt

    rows = [_row(p, first, period) for p in drawn]
    top = _top(rows)
    x = alt.X(
        "middle:Q",
        scale=alt.Scale(domain=[0, days], nice=False),
        axis=_axis(drawn, first, period, width, days),
    )
    y = alt.Y(
        "share:Q",
        scale=alt.Scale(domain=[0, top], nice=False),
        axis=percent(measure, OVER_LETTERS if marked else ABOVE),
    )
    base = alt.Chart(alt.Data(values=rows))
    mark = base.mark_point(filled=True, size=38, color=ACCENT, opacity=1)
    ring = base.transform_filter("datum.outside").mark_point(size=170, color=INK, strokeWidth=1.5, opacity=1)
    layers = [
        *_usual_range(rows, top, days),
        *dated.lines(marked),
        base.mark_line(color=ACCENT, strokeWidth=1.5).encode(x, y),
        mark.encode(x, y),
        ring.encode(x, y),
    ]
    chart = alt.layer(*layers).properties(width=width, height=height)
    return dated.keyed(chart, marked, width)


def _row(point: SharePoint, first: date, period: str) -> Row:
    start, end = (_start(point) - first).days, (_end(point, period) - first).days
    row: Row = {
        "from": start,
        "to": end,
        "middle": (start + end) / 2,
        "share": point.share,
        "outside": point.outside,
    }
    if (low := point.low) is not None and (high := point.high) is not None:
        row |= {"centre": point.centre, "low": max(0.0, low), "high": min(1.0, high)}
    return row


def _top(rows: Sequence[Row]) -> float:
    """High enough for every share and the limits of an ordinary point; a tiny week's limits may run out of it."""
    limits = sorted(r["high"] for r in rows if "high" in r)
    ordinary = limits[len(limits) // 2] if limits else 0.0
    return float(min(1.0, HEADROOM * max(max(r["share"] for r in rows), ordinary, 0.005)))


def _usual_range(rows: Sequence[Row], top: float, days: int) -> "list[alt.Chart]":
    """The band between the limits, point by point, its edges and the centre."""
    import altair as alt

    known: list[Cut] = [
        {**r, "high": min(r["high"], top), "cut": r["high"] > top} for r in rows if "high" in r
    ]
    if not known:
        return []
    base = alt.Chart(alt.Data(values=known))
    across = alt.X("from:Q"), alt.X2("to:Q")
    edge = base.mark_rule(color=QUIET, strokeWidth=1, strokeDash=[3, 2])
    last = known[-1]
    notes = _notes(last, top, days)
    text = alt.Chart(alt.Data(values=notes)).mark_text(align="left", dx=6, color=QUIET, baseline="middle")
    return [
        base.mark_rect(color=HAIRLINE, opacity=0.45).encode(*across, alt.Y("low:Q"), alt.Y2("high:Q")),
        edge.transform_filter("!datum.cut").encode(*across, alt.Y("high:Q")),
        edge.transform_filter("datum.low > 0").encode(*across, alt.Y("low:Q")),
        base.mark_rule(color=QUIET, strokeWidth=1).encode(*across, alt.Y("centre:Q")),
        text.encode(alt.X("at:Q"), alt.Y("y:Q"), alt.Text("text:N")),
    ]


def _notes(last: Row, top: float, days: int) -> list[dict[str, object]]:
    """What centre and band are, at the right edge; the band's name only where it stands clear of the centre's."""
    notes = [{"at": days, "y": last["centre"], "text": f"usual {display.share(last['centre'])}"}]
    if last["high"] - last["centre"] > 0.09 * top:
        notes.append({"at": days, "y": last["high"], "text": f"usual up to {display.share(last['high'])}"})
    return notes


def _axis(drawn: Sequence[SharePoint], first: date, period: str, width: int, days: int) -> "alt.Axis":
    """Start, denominator and year beneath the points; where they would touch, every second or third."""
    import altair as alt

    names: dict[str, list[str]] = {}
    year = 0
    for middle, point in _labelled(drawn, first, period, LABEL_WIDTH * days / width):
        start = _start(point)
        name = display.short_day(start) if period == "week" else display.month_alone(start)
        # Keys as the drawing program writes numbers: 45 and 45.5, never 45.0.
        names[f"{middle:g}"] = [name, display.number(point.n), str(start.year) * (start.year != year)]
        year = start.year
    return alt.Axis(
        values=[float(place) for place in names],
        labelExpr=f"{json.dumps(names)}[datum.value]",
        labelFlush=False,
        # Left to count for itself the drawing program drops labels, the last one among them.
        tickCount=len(names),
        title=f"{period}{' from' if period == 'week' else ''}, readings in it, year",
    )


def _labelled(
    drawn: Sequence[SharePoint], first: date, period: str, apart: float
) -> list[tuple[float, SharePoint]]:
    """Points with their middle day, at least `apart` days from each other, the last one among them, in order."""
    labelled: list[tuple[float, SharePoint]] = []
    for point in reversed(drawn):
        middle = ((_start(point) - first).days + (_end(point, period) - first).days) / 2
        if not labelled or labelled[-1][0] - middle >= apart:
            labelled.append((middle, point))
    return labelled[::-1]


def _empty(title: str, sentence: str, width: int) -> str:
    import altair as alt

    chart = alt.Chart(alt.Data(values=[{"text": "too few readings to draw"}])).mark_text(color=QUIET)
    return draw(chart.encode(alt.Text("text:N")).properties(width=width, height=40), title, sentence)
