"""Estimates with their intervals, one row each: which instruments, wards or sites stand apart?"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from browline import display
from browline.documents.charts import IntervalMark
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, HAIRLINE, INK, QUIET

if TYPE_CHECKING:
    import altair as alt

ROW = 17


class Known(NamedTuple):
    """A row whose estimate is known, °C."""

    row: IntervalMark
    estimate: float


def interval_chart(
    rows: Sequence[IntervalMark],
    tolerance: float | None = None,
    *,
    quantity: str = "Difference from the comparator",
    unit: str = "C",
    width: int = 330,
) -> Figure:
    """One row a subject: estimate, 95 % interval and number of readings, in the order given.

    - `rows`: `name`, `low`, `estimate`, `high` (°C, None where not known), `n`, and optionally `flagged`.
    - `tolerance`: in °C, drawn as a band.

    Flagged rows have a filled mark and the word beside the number, the others an open one. Rows with fewer
    than ten readings are withheld.
    """
    known = [Known(r, r.estimate) for r in rows if r.n >= display.FEWEST and r.estimate is not None]
    sentence = _sentence(rows, known, quantity)
    table = _table(rows, quantity, unit)
    return Figure(draw(_chart(known, tolerance, unit, width), quantity, sentence), sentence, table)


def _sentence(rows: Sequence[IntervalMark], known: Sequence[Known], quantity: str) -> str:
    flagged = sum(k.row.flagged for k in known)
    withheld = f" ({len(rows) - len(known)} with too few readings withheld)" if len(known) < len(rows) else ""
    text = f"{quantity}, {len(known)} shown{withheld}"
    return text + (f"; {flagged} flagged (filled marks)." if flagged else ".")


def _table(rows: Sequence[IntervalMark], quantity: str, unit: str) -> Table:
    cells = []
    for r in rows:
        enough = r.n >= display.FEWEST
        values = [
            display.difference(v, unit) if enough and v is not None else "–"
            for v in (r.estimate, r.low, r.high)
        ]
        cells.append((r.name, display.count(r.n), *values, "flagged" if r.flagged else ""))
    return Table(("name", "readings", quantity.lower(), "95 % from", "to", "flag"), tuple(cells))


def _chart(
    known: Sequence[Known], tolerance: float | None, unit: str, width: int
) -> "alt.LayerChart | alt.FacetChart":
    import altair as alt

    rows = [_row(i, r, unit) for i, r in enumerate(known)]
    height = max(ROW, ROW * len(rows))
    scale = alt.Scale(domain=[0, max(1, len(rows))], reverse=True, nice=False)
    y = alt.Y("at:Q", scale=scale, axis=None)
    base = alt.Chart(alt.Data(values=rows))
    x = alt.X(
        "estimate:Q", title=f"reads low   ·   °{unit}   ·   reads high", axis=alt.Axis(grid=True, tickCount=6)
    )
    side = base.mark_text(baseline="middle", limit=150)
    layers = [
        *_zero(tolerance, unit),
        base.mark_rule(color=ACCENT, strokeWidth=1.4).encode(alt.X("low:Q"), alt.X2("high:Q"), y),
        base.mark_point(size=40, color=ACCENT, opacity=1, strokeWidth=1.4).encode(
            x, y, fill=alt.Fill("ink:N", scale=None)
        ),
        side.mark_text(align="right", dx=-8, limit=150).encode(alt.XValue(0), y, alt.Text("name:N")),
        side.mark_text(align="left", dx=8, color=QUIET).encode(alt.XValue(width), y, alt.Text("n:N")),
    ]
    return alt.layer(*layers).properties(width=width, height=height)


def _row(i: int, known: Known, unit: str) -> dict[str, object]:
    r, estimate = known
    low = estimate if r.low is None else r.low
    high = estimate if r.high is None else r.high
    return {
        "at": i + 0.5,
        "name": r.name,
        "low": display.in_unit_difference(low, unit),
        "estimate": display.in_unit_difference(estimate, unit),
        "high": display.in_unit_difference(high, unit),
        "n": f"n {display.count(r.n)}" + (" · flagged" if r.flagged else ""),
        "ink": ACCENT if r.flagged else "white",
    }


def _zero(tolerance: float | None, unit: str) -> "list[alt.Chart]":
    import altair as alt

    zero = alt.Chart(alt.Data(values=[{"x": 0}])).mark_rule(color=INK, strokeWidth=1).encode(alt.X("x:Q"))
    if tolerance is None:
        return [zero]
    edge = display.in_unit_difference(tolerance, unit)
    band = alt.Chart(alt.Data(values=[{"low": -edge, "high": edge}])).mark_rect(color=HAIRLINE, opacity=0.45)
    return [band.encode(alt.X("low:Q"), alt.X2("high:Q")), zero]
