"""Causes in order, with what they add up to: where would one change help most?"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from browline import display
from browline.documents.charts import CauseBar
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, HAIRLINE, INK, QUIET

if TYPE_CHECKING:
    import altair as alt

ROW = 36
BAR = 13
KEY = "bar: share of lines · mark: with those above"


def pareto_chart(rows: Sequence[CauseBar], total: int, headline: str, *, width: int = 420) -> Figure:
    """One bar a cause, commonest first, its count beside it, and a mark for the shares so far.

    - `rows`: empty where too few to count out.
    - `total`: lines in all. `headline`: what the causes say, in one sentence.
    """
    title = "Causes of questioned readings"
    sentence = f"{headline} {_adds_up(rows)}".strip()
    table = Table(
        ("cause", "lines", "share", "likely range (95 %)", "so far"), tuple(_cells(r) for r in rows)
    )
    if not rows:
        return Figure(_empty(title, sentence, width), sentence, table)
    return Figure(draw(_chart(rows, total, width), title, sentence), sentence, table)


def _adds_up(rows: Sequence[CauseBar]) -> str:
    if len(rows) < 4:
        return ""
    return f"The first three together: {display.share(rows[2].cumulative)} of lines."


def _cells(r: CauseBar) -> tuple[str, ...]:
    span = f"{display.share(r.low)} to {display.share(r.high)}"
    return (
        r.name,
        display.number(r.n),
        display.share(r.share),
        span,
        display.share(r.cumulative),
    )


def _chart(rows: Sequence[CauseBar], total: int, width: int) -> "alt.LayerChart | alt.FacetChart":
    import altair as alt

    height = ROW * len(rows)
    down = alt.Scale(domain=[0, height], reverse=True, nice=False)
    across = alt.Scale(domain=[0, 1], nice=False)
    axis = alt.Axis(values=[0, 0.25, 0.5, 0.75, 1], labelExpr="format(100 * datum.value, 'd') + ' %'")
    top, middle, over = (alt.Y(f"{name}:Q", scale=down, axis=None) for name in ("top", "middle", "over"))
    base = alt.Chart(alt.Data(values=[_row(i, r, total) for i, r in enumerate(rows)]))
    x = alt.X("share:Q", scale=across, axis=axis, title=KEY)
    ends = top, alt.Y2("bottom:Q")
    name = base.mark_text(align="left", baseline="middle", limit=width - 60)
    count = base.mark_text(align="right", baseline="middle", color=QUIET)
    layers = [
        base.mark_rect(color=HAIRLINE, opacity=0.45).encode(alt.X("none:Q"), alt.X2("all:Q"), *ends),
        base.mark_rect(color=ACCENT).encode(x, alt.X2("none:Q"), *ends),
        base.mark_tick(orient="vertical", size=BAR + 6, thickness=2.5, color=INK).encode(
            alt.X("cumulative:Q"), middle
        ),
        name.encode(alt.XValue(0), over, alt.Text("name:N")),
        count.encode(alt.XValue(width), over, alt.Text("beside:N")),
    ]
    return alt.layer(*layers).properties(width=width, height=height)


def _row(i: int, r: CauseBar, total: int) -> dict[str, object]:
    """A cause with its places down the chart: its name over its bar."""
    top = ROW * i + 16
    places = {"over": top - 8, "top": top, "middle": top + BAR / 2, "bottom": top + BAR, "none": 0, "all": 1}
    values = {"name": r.name, "n": r.n, "share": r.share, "cumulative": r.cumulative}
    return {**values, **places, "beside": f"{display.number(r.n)} of {display.number(total)}"}


def _empty(title: str, sentence: str, width: int) -> str:
    import altair as alt

    chart = alt.Chart(alt.Data(values=[{"text": "too few lines to draw"}])).mark_text(color=QUIET)
    return draw(chart.encode(alt.Text("text:N")).properties(width=width, height=40), title, sentence)
