"""The growth table as a picture: seconds of a fit and of one pass over the data, and the peak memory, by readings."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

COLOURS = ("#0072B2", "#D55E00", "#999999")


def picture(rows: Sequence[dict[str, Any]], path: Path) -> None:
    """Two panels on logarithmic scales, SVG or PNG by the ending; `rows` as `alone` says them, with `model`."""
    import altair

    panels = (panel(rows, "seconds", "seconds"), panel(rows, "peak_mb", "peak memory, MB"))
    altair.hconcat(*panels).configure_view(stroke=None).save(str(path))


def panel(rows: Sequence[dict[str, Any]], what: str, title: str) -> Any:
    """One quantity by size and model; beside seconds, those of one pass over the data."""
    import altair

    points = [{"model": m["model"], "readings": m["n"], title: m[what]} for m in rows]
    if what == "seconds":
        passes = {m["n"]: m["floor"] for m in rows}
        points += [{"model": "one pass", "readings": n, title: floor} for n, floor in passes.items()]
    models = ["ordinary", "full", "one pass"]
    size, scale = altair.Scale(type="log"), altair.Scale(type="log", nice=True)
    shade = altair.Scale(domain=models, range=list(COLOURS))
    return (
        altair.Chart(altair.Data(values=points), width=300, height=260)
        .mark_line(point=True)
        .encode(
            x=altair.X(
                "readings:Q", scale=size, title="readings", axis=altair.Axis(format="~s", tickCount=4)
            ),
            y=altair.Y(f"{title}:Q", scale=scale, title=title, axis=altair.Axis(format="~g", tickCount=5)),
            color=altair.Color("model:N", scale=shade, title=None),
            shape=altair.Shape("model:N", scale=altair.Scale(domain=models), title=None),
        )
    )
