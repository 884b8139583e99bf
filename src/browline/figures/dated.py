"""Dated events on a chart: lettered upright lines, and a key of what the letters mean.

Two lines too close for two letters share one; so however many things happened in one week, nothing overlaps.
"""

from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING, TypedDict

from browline import display
from browline.documents.supplement import EventRow
from browline.figures.ink import INK

if TYPE_CHECKING:
    import altair as alt

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
MOST = 8
LETTER_ROOM, LETTER_WIDTH, LINE = 14, 6, 15


class Lettered(TypedDict):
    """An event, or several close to each other, with its letter and its line in the key."""

    letter: str
    text: str


class OnDay(Lettered):
    """`day`: its place, in days since the first."""

    day: float


def placed(events: Sequence[EventRow], first: date, days: int, width: int) -> tuple[OnDay, ...]:
    """Events within the chart in order: `letter`, `day` since `first`, and `text` for the key.

    - `events`: rows with `date`, `what` and optionally `ward`. `days` across `width` pixels.

    Beyond the most that can be read, the latest are kept and the first one says how many are not marked.
    """
    groups: list[list[EventRow]] = []
    for event in sorted(events, key=lambda e: e.date):
        day = _day(event, first)
        if not 0 <= day < days:
            continue
        if groups and (day - _day(groups[-1][0], first)) * width < LETTER_ROOM * days:
            groups[-1].append(event)
        else:
            groups.append([event])
    marks: list[OnDay] = [
        {"letter": letter, "day": _day(group[0], first) + 0.5, "text": key_text(group)}
        for letter, group in zip(LETTERS, groups[-MOST:], strict=False)
    ]
    earlier = sum(map(len, groups[:-MOST]))
    if earlier:
        marks[0]["text"] += f" ({display.many(earlier, 'earlier event')} not marked)"
    return tuple(marks)


def _day(event: EventRow, first: date) -> int:
    return (display.as_date(event.date) - first).days


def key_text(events: Sequence[EventRow]) -> str:
    """From when to when, and each thing once with its wards."""
    days = dict.fromkeys(display.day(e.date) for e in (events[0], events[-1]))
    wards: dict[str, list[str]] = {}
    for event in events:
        wards.setdefault(event.what, []).extend(filter(None, [event.ward]))
    things = (
        f"{event_words} ({', '.join(where)})" if where else event_words
        for event_words, where in wards.items()
    )
    return f"{' to '.join(days)}: {'; '.join(things)}"


def sentence(marked: Sequence[Lettered]) -> str:
    """The events in words, to follow what the chart shows; empty where none is marked."""
    if not marked:
        return ""
    return " Marked: " + ". ".join(f"{e['letter']}, {e['text']}" for e in marked) + "."


def lines(marked: Sequence[Lettered], place: str = "day") -> "list[alt.Chart]":
    """Layers: an upright line for each event with its letter above the chart. `place`: the field along the axis."""
    import altair as alt

    if not marked:
        return []
    base = alt.Chart(alt.Data(values=list(marked)))
    letter = base.mark_text(baseline="bottom", dy=-3, fontWeight=600, color=INK)
    return [
        base.mark_rule(color=INK, strokeWidth=0.9).encode(alt.X(f"{place}:Q")),
        letter.encode(alt.X(f"{place}:Q"), alt.YValue(0), alt.Text("letter:N")),
    ]


def keyed(
    chart: "alt.LayerChart | alt.FacetChart", marked: Sequence[Lettered], width: int
) -> "alt.LayerChart | alt.FacetChart | alt.VConcatChart":
    """The chart with what the letters mean beneath it, in lines that fit its width."""
    import altair as alt

    return alt.vconcat(chart, _key(marked, width), spacing=4) if marked else chart


def _key(marked: Sequence[Lettered], width: int) -> "alt.Chart":
    import altair as alt

    rows = [line for e in marked for line in wrap(f"{e['letter']} · {e['text']}", width // LETTER_WIDTH)]
    text = alt.Chart(alt.Data(values=[{"row": i, "text": line} for i, line in enumerate(rows)]))
    text = text.mark_text(align="left").encode(alt.XValue(0), alt.Y("row:O", axis=None), alt.Text("text:N"))
    key: alt.Chart = text.properties(width=width, height=LINE * len(rows))
    return key
