"""Instruments at hand beside the share of readings unlikely to have been measured: do missing ones make bad data?"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from browline import display
from browline.documents.charts import WardInstruments
from browline.figures.beside import Box, beside
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, INK, QUIET
from browline.figures.percent import percent
from browline.figures.shares import UNLIKELY

if TYPE_CHECKING:
    import altair as alt

HEADROOM = 1.1
LOCATED = "instruments located per ten occupied beds"
TITLE = "Instruments at hand, and readings unlikely to have been measured, by ward"


class Drawn(NamedTuple):
    """A ward of which both are known."""

    ward: str
    per_ten_beds: float
    share: float
    low: float
    high: float
    n: int


def instruments_chart(
    rows: Sequence[WardInstruments],
    *,
    measure: str = UNLIKELY,
    across: str = LOCATED,
    width: int = 520,
    height: int = 260,
) -> Figure:
    """One mark a ward: instruments located per ten occupied beds across, share of doubted readings upwards.

    - `measure`: the share in words. `across`: how instruments were counted, where not by looking for them.

    Wards with fewer than ten readings, or without a count of instruments, are withheld.
    """
    drawn = [known for known in map(_drawn, rows) if known is not None]
    sentence, table = _sentence(drawn, len(rows) - len(drawn), measure, across), _table(rows, across)
    if not drawn:
        return Figure(_empty(sentence, width), sentence, table)
    return Figure(draw(_chart(drawn, measure, across, width, height), TITLE, sentence), sentence, table)


def _drawn(r: WardInstruments) -> Drawn | None:
    if r.n < display.FEWEST or r.per_ten_beds is None or r.share is None:
        return None
    return Drawn(ward=r.ward, per_ten_beds=r.per_ten_beds, share=r.share, low=r.low, high=r.high, n=r.n)


def _sentence(drawn: Sequence[Drawn], withheld: int, measure: str, across: str) -> str:
    if not drawn:
        return "Instruments at hand by ward: no ward has both a count of instruments and enough readings."
    beds, shares = [r.per_ten_beds for r in drawn], [r.share for r in drawn]
    withheld_words = f" ({display.many(withheld, 'ward')} withheld)" if withheld else ""
    return (
        f"{display.many(len(drawn), 'ward')}{withheld_words}: {across}, {display.decimal(min(beds))} to "
        f"{display.decimal(max(beds))}, beside the {measure[0].lower()}{measure[1:]}, {display.share(min(shares))} to "
        f"{display.share(max(shares))} with 95 % intervals; a pattern here is a reason to look, not a proof."
    )


def _table(rows: Sequence[WardInstruments], across: str) -> Table:
    cells = []
    for r in rows:
        beds = "not counted" if r.per_ten_beds is None else display.decimal(r.per_ten_beds)
        part = None if r.n < display.FEWEST else r.share
        share = "–" if part is None else display.share(part)
        span = "–" if part is None else display.share_span(r.low, r.high, r.n)
        cells.append((r.ward, beds, display.count(r.n), share, span))
    return Table(("ward", across, "readings", "share", "95 %"), tuple(cells))


def _chart(
    drawn: Sequence[Drawn], measure: str, across: str, width: int, height: int
) -> "alt.LayerChart | alt.FacetChart":
    import altair as alt

    widest = max(0.5, HEADROOM * max(r.per_ten_beds for r in drawn))
    top = min(1.0, HEADROOM * max(max(r.high for r in drawn), 0.005))
    x = alt.X(
        "per_ten_beds:Q",
        title=across,
        scale=alt.Scale(domain=[0, widest], nice=False),
        axis=alt.Axis(tickCount=6),
    )
    y = alt.Y(
        "share:Q",
        scale=alt.Scale(domain=[0, top], nice=False),
        axis=percent(measure),
    )
    rows = [{"per_ten_beds": r.per_ten_beds, "share": r.share, "low": r.low, "high": r.high} for r in drawn]
    base = alt.Chart(alt.Data(values=rows))
    names, leaders = _names(drawn, widest, top, width, height)
    layers = [
        base.mark_rule(color=ACCENT, strokeWidth=1.2).encode(x, alt.Y("low:Q"), alt.Y2("high:Q")),
        alt.Chart(alt.Data(values=leaders))
        .mark_rule(color=QUIET, strokeWidth=0.7)
        .encode(alt.X("x:Q"), alt.Y("y:Q"), alt.X2("to_x:Q"), alt.Y2("to_y:Q")),
        base.mark_point(filled=True, size=46, color=ACCENT, opacity=1).encode(x, y),
        alt.Chart(alt.Data(values=names))
        .mark_text(color=INK)
        .encode(alt.X("x:Q"), alt.Y("y:Q"), alt.Text("text:N")),
    ]
    return alt.layer(*(layer for layer in layers if layer is not None)).properties(width=width, height=height)


def _names(
    drawn: Sequence[Drawn], widest: float, top: float, width: int, height: int
) -> tuple[list[dict[str, object]], list[dict[str, object]]]:
    """Names in free places, and a thin line to each that stands far from its mark."""
    marks = [(width * r.per_ten_beds / widest, height * (1 - r.share / top)) for r in drawn]
    whiskers = [
        Box(x, height * (1 - (r.low + r.high) / 2 / top), 2.0, height * (r.high - r.low) / 2 / top)
        for (x, _), r in zip(marks, drawn, strict=True)
    ]
    placed = beside(marks, [r.ward for r in drawn], width, height, whiskers)

    def back(x: float, y: float) -> tuple[float, float]:
        return x / width * widest, top * (1 - y / height)

    names: list[dict[str, object]] = []
    leaders: list[dict[str, object]] = []
    for name, mark in zip(placed, marks, strict=True):
        if name is None:
            continue
        x, y = back(name.x, name.y)
        names.append({"x": x, "y": y, "text": name.text})
        if name.led:
            (a, b), (c, d) = back(*mark), back(*name.edge(*mark))
            leaders.append({"x": a, "y": b, "to_x": c, "to_y": d})
    return names, leaders


def _empty(sentence: str, width: int) -> str:
    import altair as alt

    chart = alt.Chart(alt.Data(values=[{"text": "no ward has both counts"}])).mark_text(color=QUIET)
    return draw(chart.encode(alt.Text("text:N")).properties(width=width, height=40), TITLE, sentence)
