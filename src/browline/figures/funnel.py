"""Wards against what is usual for their number of readings: which stand apart by more than chance?"""

from collections.abc import Sequence
from math import log10
from typing import TYPE_CHECKING, NamedTuple

from browline import display
from browline.documents.charts import FunnelLimit, FunnelUnit
from browline.figures.beside import beside
from browline.figures.drawing import draw
from browline.figures.figure import Figure, Table
from browline.figures.ink import ACCENT, HAIRLINE, INK, QUIET
from browline.figures.percent import percent
from browline.figures.shares import UNLIKELY

if TYPE_CHECKING:
    import altair as alt

HEADROOM = 1.12
STANDS = {
    "inside": "inside",
    "outside-low": "outside, low",
    "outside-high": "outside, high",
    "too-few-to-tell": "too few to tell",
}
OUTSIDE = ("outside-low", "outside-high")
LINES = (("low95", [2, 2]), ("high95", [2, 2]), ("low998", [1, 0]), ("high998", [1, 0]))


class Drawn(NamedTuple):
    """A ward with enough readings and a share."""

    name: str
    n: int
    share: float
    stands: str


def funnel_chart(
    units: Sequence[FunnelUnit],
    limits: Sequence[FunnelLimit],
    centre: float,
    *,
    measure: str = UNLIKELY,
    caveat: str = "",
    width: int = 520,
    height: int = 260,
) -> Figure:
    """One mark a ward by its number of readings, with the limits that chance and usual differences bring.

    - `limits`: in order of `n`.
    - `centre`: share expected of all. `caveat`: how often a ward is flagged wrongly.

    Wards outside have a filled diamond and their name, the others an open circle. Wards with fewer than ten
    readings are withheld.
    """
    drawn = [
        Drawn(u.name, u.n, u.share, u.stands) for u in units if u.n >= display.FEWEST and u.share is not None
    ]
    title = f"{measure}, by ward"
    sentence = _sentence(title, drawn, len(units) - len(drawn), centre, caveat)
    if not drawn:
        return Figure(_empty(title, sentence, width), sentence, _table(units))
    return Figure(
        draw(_chart(drawn, measure, limits, centre, width, height), title, sentence), sentence, _table(units)
    )


def _sentence(title: str, drawn: Sequence[Drawn], withheld: int, centre: float, caveat: str) -> str:
    if not drawn:
        return f"{title}: too few readings or wards to draw."
    out = [u for u in drawn if u.stands in OUTSIDE]
    text = f"{title}: {display.many(len(drawn), 'ward')}, usual level {display.share(centre)}"
    if withheld:
        text += f" ({display.many(withheld, 'ward')} with too few readings withheld)"
    for stands, name in (("outside-high", "higher"), ("outside-low", "lower")):
        names = [u.name for u in out if u.stands == stands]
        if names:
            text += f"; {name} than chance and usual differences bring: {display.listed(names)}"
    text += "; the lines hold 95 and 99.8 of 100 wards like the others" + ("" if out else ", none is outside")
    return text + (f"; {caveat}." if caveat else ".")


def _table(units: Sequence[FunnelUnit]) -> Table:
    rows = []
    for u in units:
        part = None if u.n < display.FEWEST else u.share
        rows.append(
            (
                u.name,
                display.count(u.n),
                "–" if part is None else display.share(part),
                STANDS["too-few-to-tell" if part is None else u.stands],
            )
        )
    return Table(("ward", "readings", "share", "stands"), tuple(rows))


def _chart(
    drawn: Sequence[Drawn],
    measure: str,
    limits: Sequence[FunnelLimit],
    centre: float,
    width: int,
    height: int,
) -> "alt.LayerChart | alt.FacetChart":
    import altair as alt

    least, most = _reach([u.n for u in drawn])
    top = _top(drawn, limits, least)
    x = alt.X(
        "n:Q",
        title="readings",
        scale=alt.Scale(type="log", domain=[least, most], nice=False),
        axis=alt.Axis(format=",d", values=_ticks(least, most)),
    )
    y = alt.Y(
        "share:Q",
        scale=alt.Scale(domain=[0, top], nice=False),
        axis=percent(measure),
    )
    base = alt.Chart(alt.Data(values=[_row(u) for u in drawn]))
    inside = base.transform_filter("!datum.out").mark_point(size=42, color=ACCENT, fill="white", opacity=1)
    outside = base.transform_filter("datum.out").mark_point(
        size=95, shape="diamond", filled=True, color=ACCENT, opacity=1
    )
    layers = [
        *_bands(limits, centre, least, most, top),
        inside.encode(x, y),
        outside.encode(x, y),
        *_names(drawn, least, most, top, width, height),
    ]
    return alt.layer(*layers).properties(width=width, height=height)


def _row(unit: Drawn) -> dict[str, object]:
    return {"n": unit.n, "share": unit.share, "out": unit.stands in OUTSIDE}


def _reach(totals: Sequence[int]) -> tuple[float, float]:
    """A little to either side of the fewest and the most readings."""
    return max(1.0, min(totals) / 1.3), max(totals) * 1.3


def _ticks(least: float, most: float) -> list[int]:
    """1, 2 and 5 times the powers of ten in between; powers only where those would crowd."""
    steps = (1, 2, 5) if most / least < 300 else (1,)
    return [s * 10**k for k in range(7) for s in steps if least <= s * 10**k <= most]


def _top(drawn: Sequence[Drawn], limits: Sequence[FunnelLimit], least: float) -> float:
    """High enough for every ward and for the funnel beyond its narrow mouth."""
    ordinary = sorted(row.high998 for row in limits if row.n >= least)
    middle = ordinary[len(ordinary) // 2] if ordinary else 0.0
    return float(min(1.0, HEADROOM * max(max(u.share for u in drawn), middle, 0.005)))


def _bands(
    limits: Sequence[FunnelLimit], centre: float, least: float, most: float, top: float
) -> "list[alt.Chart]":
    """Both pairs of limits as lines, the inner one shaded, and the centre, each named at its right end."""
    import altair as alt

    rows = [_within(row, top) for row in limits if least <= row.n <= most]
    if not rows:
        return []
    base = alt.Chart(alt.Data(values=rows))
    last = rows[-1]
    notes = [
        {"n": most, "y": y, "text": text}
        for y, text in _apart(
            [
                (last["high998"], "99.8 of 100"),
                (last["high95"], "95 of 100"),
                (centre, f"usual {display.share(centre)}"),
            ],
            top,
        )
    ]
    named = alt.Chart(alt.Data(values=notes)).mark_text(align="left", dx=6, color=QUIET)
    middle = alt.Chart(alt.Data(values=[{"y": centre}])).mark_rule(color=QUIET, strokeWidth=1)
    return [
        base.mark_area(color=HAIRLINE, opacity=0.45).encode(
            alt.X("n:Q"), alt.Y("low95:Q"), alt.Y2("high95:Q")
        ),
        *(_limit(base, name, dash) for name, dash in LINES),
        middle.encode(alt.Y("y:Q")),
        named.encode(alt.X("n:Q"), alt.Y("y:Q"), alt.Text("text:N")),
    ]


def _within(row: FunnelLimit, top: float) -> dict[str, float]:
    """The limits within what the chart shows."""
    limits = {"low95": row.low95, "high95": row.high95, "low998": row.low998, "high998": row.high998}
    return {"n": row.n, **{name: min(top, max(0.0, limit)) for name, limit in limits.items()}}


def _limit(base: "alt.Chart", name: str, dash: list[int]) -> "alt.Chart":
    """One limit as a line, where there is one on that side."""
    import altair as alt

    within = base.transform_filter(f"datum.{name} > 0")
    line = within.mark_line(color=QUIET, strokeWidth=1, strokeDash=dash, clip=True)
    drawn: alt.Chart = line.encode(alt.X("n:Q"), alt.Y(f"{name}:Q"))
    return drawn


def _apart(notes: list[tuple[float, str]], top: float) -> list[tuple[float, str]]:
    """Notes from high to low, pushed up so that each stands a line over the next."""
    placed: list[tuple[float, str]] = []
    for y, text in reversed(notes):
        placed.append((max(y, placed[-1][0] + 0.055 * top) if placed else y, text))
    return placed


def _names(
    drawn: Sequence[Drawn], least: float, most: float, top: float, width: int, height: int
) -> "list[alt.Chart]":
    """The names of wards outside, where they cover no mark."""
    import altair as alt

    span = log10(most / least)
    marks = [(width * log10(u.n / least) / span, height * (1 - u.share / top)) for u in drawn]
    names = [u.name if u.stands in OUTSIDE else None for u in drawn]
    rows = [
        {"n": least * 10 ** (name.x / width * span), "share": top * (1 - name.y / height), "text": name.text}
        for name in beside(marks, names, width, height)
        if name
    ]
    if not rows:
        return []
    text = alt.Chart(alt.Data(values=rows)).mark_text(color=INK, fontWeight=600)
    return [text.encode(alt.X("n:Q"), alt.Y("share:Q"), alt.Text("text:N"))]


def _empty(title: str, sentence: str, width: int) -> str:
    import altair as alt

    chart = alt.Chart(alt.Data(values=[{"text": "too few readings or wards to draw"}])).mark_text(color=QUIET)
    return draw(chart.encode(alt.Text("text:N")).properties(width=width, height=40), title, sentence)
