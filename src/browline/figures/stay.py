"""The readings of one stay in order: what was the temperature doing, and which reading stands out?"""

import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, TypedDict

from browline import display
from browline.documents.charts import StayReading
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import CATEGORIES, HAIRLINE, SHAPES

if TYPE_CHECKING:
    import altair as alt

LABELS_ACROSS = 6
TITLE = "Temperatures of one stay"


class Row(TypedDict):
    """A reading as it is drawn: `hours` since the first, `value` in the reader's unit."""

    hours: float
    value: float
    site: str


def stay_chart(
    readings: Sequence[StayReading], *, unit: str = "C", width: int = 560, height: int = 210
) -> Figure:
    """Each reading as charted, joined in time; site told by shape and colour.

    - `readings`: in any order.
    """
    rows = sorted(readings, key=_time)
    sentence = _sentence(rows, unit)
    table = Table(
        ("time", "temperature", "site"),
        tuple((_when(_time(r)), display.temperature(r.value_c, unit), r.site or "not charted") for r in rows),
    )
    return Figure(draw(_chart(rows, unit, width, height), TITLE, sentence), sentence, table)


def _time(reading: StayReading) -> datetime:
    return datetime.fromisoformat(reading.time)


def _when(when: datetime) -> str:
    return display.moment(when)


def _sentence(rows: Sequence[StayReading], unit: str) -> str:
    if not rows:
        return "No readings to draw."
    values = [r.value_c for r in rows]
    return (
        f"{display.number(len(rows))} readings from {_when(_time(rows[0]))} to {_when(_time(rows[-1]))}, "
        f"lowest {display.temperature(min(values), unit)}, highest {display.temperature(max(values), unit)}."
    )


def _chart(
    rows: Sequence[StayReading], unit: str, width: int, height: int
) -> "alt.LayerChart | alt.FacetChart":
    import altair as alt

    first = _time(rows[0]) if rows else datetime(2000, 1, 1)
    values: list[Row] = [
        {
            "hours": (_time(r) - first).total_seconds() / 3600,
            "value": display.in_unit(r.value_c, unit),
            "site": r.site or "not charted",
        }
        for r in rows
    ]
    sites = sorted({v["site"] for v in values})
    last = max((v["hours"] for v in values), default=0.0) or 1.0
    x = alt.X(
        "hours:Q",
        title=None,
        scale=alt.Scale(domain=[0, last], nice=False, padding=8),
        axis=_axis(first, last),
    )
    y = alt.Y("value:Q", title=f"°{unit}", scale=alt.Scale(zero=False))
    base = alt.Chart(alt.Data(values=values))
    marks = base.mark_point(filled=True, size=48, opacity=1).encode(
        x,
        y,
        alt.Shape("site:N", title="site", scale=alt.Scale(domain=sites, range=_cycled(SHAPES, len(sites)))),
        alt.Color(
            "site:N", title="site", scale=alt.Scale(domain=sites, range=_cycled(CATEGORIES, len(sites)))
        ),
    )
    line = base.mark_line(color=HAIRLINE, strokeWidth=1.2).encode(x, y)
    return alt.layer(line, marks).properties(width=width, height=height)


def _cycled(choices: Sequence[str], count: int) -> list[str]:
    return [choices[i % len(choices)] for i in range(count)]


def _axis(first: datetime, last: float) -> "alt.Axis":
    import altair as alt

    ticks = [last * i / LABELS_ACROSS for i in range(LABELS_ACROSS)]
    names = {str(i): _label(first + timedelta(hours=t)) for i, t in enumerate(ticks)}
    place = f"toString(round(datum.value * {LABELS_ACROSS} / {last!r}))"
    return alt.Axis(
        values=ticks, labelExpr=f"{json.dumps(names)}[{place}]", labelAlign="left", labelFlush=False
    )


def _label(when: datetime) -> list[str]:
    return [display.day(when), display.time_of_day(when)]
