"""Months before and after sign-off: did readings move when training came, or were they moving already?"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple, TypedDict

from browline import display
from browline.documents.model import AroundMonth
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, INK, QUIET, WARNING

if TYPE_CHECKING:
    import altair as alt

TITLE = "Readings by month from sign-off"
AGAINST = "against the month before sign-off and people not signed off"
MARGIN, WIDER, LEAST_C = 0.5, 3.0, 0.1


class Drawn(NamedTuple):
    """A month of which enough is known, with its difference and 95 % interval, °C."""

    row: AroundMonth
    mean_c: float
    low_c: float
    high_c: float


class Row(TypedDict):
    """A month as it is drawn, in the reader's unit."""

    at: int
    mean: float
    low: float
    high: float
    shape: str
    ink: str


def around_chart(
    months: Sequence[AroundMonth], *, unit: str = "C", width: int = 560, height: int = 200
) -> Figure:
    """Differences by month from sign-off with 95 % intervals; the month before sign-off stands at 0.

    - `months`: rows with `month` (-1 the month before sign-off, 0 the first after), `pooled` where months beyond are
      in it, `n`, `people`, `mean_c`, `low_c`, `high_c` (°C, None where too few to tell).
    - `unit`: C or F, what the reader sees.

    Months before are open marks, months after filled ones; the month compared with is a square.
    """
    drawn = [known for known in map(_drawn, months) if known is not None]
    sentence = _sentence(drawn, unit)
    return Figure(draw(_chart(drawn, unit, width, height), TITLE, sentence), sentence, _table(months, unit))


def _drawn(m: AroundMonth) -> Drawn | None:
    if m.mean_c is None or m.low_c is None or m.high_c is None:
        return None
    return Drawn(m, m.mean_c, m.low_c, m.high_c)


def _sentence(drawn: Sequence[Drawn], unit: str) -> str:
    known = _reaching(drawn)
    before, after = _range(known, unit, before=True), _range(known, unit, before=False)
    off = "".join(_off(m, unit) for m in drawn if m not in known)
    ends = " The months at the ends hold all beyond them." if any(m.row.pooled for m in drawn) else ""
    return (
        f"{TITLE}, {AGAINST}: {before}, {after}. Upright bars are 95 % intervals; the month compared with stands at"
        f" nought.{ends}{off}"
    )


def _off(m: Drawn, unit: str) -> str:
    """A month too little known for the scale, in words."""
    values = f"{display.difference(m.mean_c, unit)} ({display.span(m.low_c, m.high_c, unit)})"
    return f" Hardly known and off the scale: {month_name(m.row)}, {values}."


def _reaching(drawn: Sequence[Drawn]) -> list[Drawn]:
    """The months that set the scale: those hardly known would press all others flat."""
    widths = sorted(m.high_c - m.low_c for m in drawn)
    usual = widths[len(widths) // 2]
    return [m for m in drawn if m.high_c - m.low_c <= WIDER * usual] or list(drawn)


def _range(drawn: Sequence[Drawn], unit: str, *, before: bool) -> str:
    side = "before sign-off" if before else "after it"
    means = [m.mean_c for m in drawn if (m.row.month < -1 if before else m.row.month >= 0)]
    if not means:
        return f"{side} too few to tell"
    low, high = (display.difference(v, unit) for v in (min(means), max(means)))
    return f"{side} {low}" if low == high else f"{side} {low} to {high}"


def month_name(month: AroundMonth) -> str:
    """A month from sign-off in words.

    >>> month_name(AroundMonth(month=-6, pooled=True, n=90, people=9))
    '6 or more before'
    """
    k, more = month.month, " or more" if month.pooled else ""
    if k == -1:
        return "month before (compared with)"
    return "first month after" if k == 0 else f"{-k}{more} before" if k < 0 else f"{k + 1}{more} after"


def _table(months: Sequence[AroundMonth], unit: str) -> Table:
    rows = []
    for m in months:
        cells = [display.difference(v, unit) if v is not None else "–" for v in (m.mean_c, m.low_c, m.high_c)]
        rows.append((month_name(m), display.count(m.n), display.count(m.people), *cells))
    return Table(("month from sign-off", "readings", "people", "difference", "95 % from", "to"), tuple(rows))


def _chart(drawn: Sequence[Drawn], unit: str, width: int, height: int) -> "alt.LayerChart | alt.FacetChart":
    import altair as alt

    rows = [_row(m, unit) for m in drawn]
    first, last = min(r["at"] for r in rows) - MARGIN, max(r["at"] for r in rows) + MARGIN
    every = 2 if width < 400 else 1
    names = alt.Axis(
        values=[r["at"] for r in rows if (r["at"] + 1) % every == 0],
        labelExpr="datum.value < 0 ? replace(datum.value, '-', '−') : '+' + (datum.value + 1)",
        title="months before (−) and after (+) sign-off",
    )
    x = alt.X("at:Q", scale=alt.Scale(domain=[first, last], nice=False), axis=names)
    ends = [v for m in _reaching(drawn) for v in (m.low_c, m.high_c)]
    reach = [display.in_unit_difference(v, unit) for v in (min(-LEAST_C, *ends), max(LEAST_C, *ends))]
    scale = alt.Scale(domain=reach)
    y = alt.Y("mean:Q", scale=scale, title=f"lower   ·   °{unit}   ·   higher")
    base = alt.Chart(alt.Data(values=rows))
    marks = base.mark_point(clip=True, size=55, color=ACCENT, opacity=1, strokeWidth=1.5)
    return alt.layer(
        alt.Chart(alt.Data(values=[{"y": 0}])).mark_rule(color=INK, strokeWidth=1).encode(alt.Y("y:Q")),
        *_sign_off(),
        base.mark_rule(color=ACCENT, strokeWidth=1.4, clip=True).encode(x, alt.Y("low:Q"), alt.Y2("high:Q")),
        marks.encode(x, y, alt.Shape("shape:N", scale=None), alt.Fill("ink:N", scale=None)),
    ).properties(width=width, height=height)


def _row(m: Drawn, unit: str) -> Row:
    mean, low, high = (display.in_unit_difference(v, unit) for v in (m.mean_c, m.low_c, m.high_c))
    return {
        "at": m.row.month,
        "mean": mean,
        "low": low,
        "high": high,
        "shape": "square" if m.row.month == -1 else "circle",
        "ink": ACCENT if m.row.month >= 0 else "white",
    }


def _sign_off() -> "list[alt.Chart]":
    """The upright line of sign-off with its word, between the month before and the first after."""
    import altair as alt

    base = alt.Chart(alt.Data(values=[{"at": -0.5, "text": "sign-off"}]))
    word = base.mark_text(align="center", dy=-4, baseline="bottom", color=QUIET)
    return [
        base.mark_rule(color=WARNING, strokeWidth=1.4, strokeDash=[6, 3]).encode(alt.X("at:Q")),
        word.encode(alt.X("at:Q"), alt.YValue(0), alt.Text("text:N")),
    ]
