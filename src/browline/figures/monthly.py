"""The run chart for a committee: by month, the share of readings that cannot be relied on."""

import json
from calendar import monthrange
from collections.abc import Sequence
from datetime import date
from statistics import median
from typing import TYPE_CHECKING

from browline import display
from browline.documents.supplement import EventRow, MonthRow
from browline.figures import dated
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, QUIET

if TYPE_CHECKING:
    import altair as alt

MOST_EVENTS = 6
LABEL_WIDTH = 40
CLOSE = 0.03
TITLE = "Share of readings that cannot be relied on, by month"


class InMonth(dated.Lettered):
    """`at`: its place, in months since the start."""

    at: float


def run_chart(
    months: Sequence[MonthRow],
    events: Sequence[EventRow] = (),
    *,
    width: int = 600,
    height: int = 190,
) -> Figure:
    """The share by month with its median, dated events as lettered lines, and the denominators beneath.

    - `months`: rows with `month` (2026-01), `readings`, `unreliable`, and `why` (counts by reason).
    - `events`: rows with `date`, `what`, `ward`; those outside the months are not drawn.

    Months with fewer than ten readings are not drawn and are withheld in the table.
    """
    drawn = [m for m in months if m.readings >= display.FEWEST]
    if not drawn:
        sentence = "No month has enough readings to draw."
        return Figure(_empty(sentence, width), sentence, _table(months))
    start = drawn[0].month
    placed = _placed(events, start, _index(drawn[-1].month, start) + 1)
    sentence = _sentence(drawn, placed)
    return Figure(
        draw(_chart(drawn, placed, start, width, height), TITLE, sentence), sentence, _table(months)
    )


def _index(text: str, start: str) -> int:
    """Months since `start`."""
    year, number = map(int, text.split("-")[:2])
    first_year, first_number = map(int, start.split("-")[:2])
    return 12 * (year - first_year) + number - first_number


def _placed(events: Sequence[EventRow], start: str, months: int) -> list[InMonth]:
    """Events within the months, in order, each with its place along the axis and its letter.

    Those too close to letter apart share one; beyond the most that can be read, the latest are kept.
    """
    groups: list[list[tuple[float, EventRow]]] = []
    for event in sorted(events, key=lambda e: e.date):
        position = _place(display.as_date(event.date), start)
        if not 0 <= position <= months:
            continue
        if groups and position - groups[-1][-1][0] < CLOSE * months:
            groups[-1].append((position, event))
        else:
            groups.append([(position, event)])
    lettered = zip(dated.LETTERS, groups[-MOST_EVENTS:], strict=False)
    marks: list[InMonth] = [
        {"letter": x, "at": g[0][0], "text": dated.key_text([e for _, e in g])} for x, g in lettered
    ]
    earlier = sum(map(len, groups[:-MOST_EVENTS]))
    if earlier:
        marks[0]["text"] += f" ({display.many(earlier, 'earlier event')} not marked)"
    return marks


def _place(when: date, start: str) -> float:
    """Months since the start, a day as its share of its month."""
    return _index(when.isoformat()[:7], start) + (when.day - 0.5) / monthrange(when.year, when.month)[1]


def _sentence(drawn: Sequence[MonthRow], placed: Sequence[InMonth]) -> str:
    shares = [m.unreliable / m.readings for m in drawn]
    total = sum(m.readings for m in drawn)
    return (
        f"Share of readings that cannot be relied on, {display.month(drawn[0].month)} to "
        f"{display.month(drawn[-1].month)}: median {display.share(median(shares))} a month, from "
        f"{display.share(min(shares))} to {display.share(max(shares))}; {display.number(total)} readings."
        f"{dated.sentence(placed)}"
    )


def _table(months: Sequence[MonthRow]) -> Table:
    rows = []
    for m in months:
        few = m.readings < display.FEWEST
        cells = display.number(m.unreliable), display.share(m.unreliable / m.readings)
        doubted, part = ("–", "–") if few else cells
        rows.append((display.month(m.month), display.count(m.readings), doubted, part))
    return Table(("month", "readings", "cannot be relied on", "share"), tuple(rows))


def _chart(
    drawn: Sequence[MonthRow], placed: Sequence[InMonth], start: str, width: int, height: int
) -> "alt.LayerChart | alt.FacetChart | alt.VConcatChart":
    import altair as alt

    points = [{"at": _index(m.month, start) + 0.5, "share": m.unreliable / m.readings} for m in drawn]
    months = _index(drawn[-1].month, start) + 1
    x = alt.X("at:Q", scale=alt.Scale(domain=[0, months], nice=False), axis=_axis(drawn, start, width))
    y = alt.Y(
        "share:Q",
        title=None,
        scale=alt.Scale(zero=True),
        axis=alt.Axis(labelExpr="format(100 * datum.value, '.2~f') + ' %'", tickCount=5),
    )
    base = alt.Chart(alt.Data(values=points))
    layers = [
        *_median([p["share"] for p in points], months),
        *dated.lines(placed, "at"),
        base.mark_line(color=ACCENT, strokeWidth=1.6).encode(x, y),
        base.mark_point(filled=True, size=44, color=ACCENT, opacity=1).encode(x, y),
    ]
    chart = alt.layer(*layers).properties(width=width, height=height)
    return dated.keyed(chart, placed, width)


def _axis(drawn: Sequence[MonthRow], start: str, width: int) -> "alt.Axis":
    """Month, denominator and year beneath the points; where they would touch, every second or third."""
    import altair as alt

    months = _index(drawn[-1].month, start) + 1
    step = -(-months * LABEL_WIDTH // width)
    named = _apart(drawn, start, step)
    names: dict[str, list[str]] = {}
    year = ""
    for m in named:
        name, this_year = display.month(m.month).split()
        names[str(_index(m.month, start) + 0.5)] = [
            name,
            display.number(m.readings),
            this_year * (this_year != year),
        ]
        year = this_year
    return alt.Axis(
        values=[float(place) for place in names],
        labelExpr=f"{json.dumps(names)}[datum.value]",
        labelFlush=False,
        title="month, readings in it, year",
    )


def _apart(drawn: Sequence[MonthRow], start: str, step: int) -> list[MonthRow]:
    """Months at least `step` apart, the last one always among them, in order."""
    labelled: list[MonthRow] = []
    for m in reversed(drawn):
        if not labelled or _index(labelled[-1].month, start) - _index(m.month, start) >= step:
            labelled.append(m)
    return labelled[::-1]


def _median(shares: list[float], months: int) -> "list[alt.Chart]":
    import altair as alt

    middle = median(shares)
    base = alt.Chart(
        alt.Data(values=[{"y": middle, "at": months, "text": f"median {display.share(middle)}"}])
    )
    label = base.mark_text(align="left", dx=6, color=QUIET)
    return [
        base.mark_rule(color=QUIET, strokeDash=[4, 3]).encode(alt.Y("y:Q")),
        label.encode(alt.X("at:Q"), alt.Y("y:Q"), alt.Text("text:N")),
    ]


def _empty(sentence: str, width: int) -> str:
    import altair as alt

    chart = alt.Chart(alt.Data(values=[{"text": sentence}])).mark_text(color=QUIET).encode(alt.Text("text:N"))
    return draw(chart.properties(width=width, height=40), TITLE, sentence)
