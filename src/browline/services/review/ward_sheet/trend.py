"""What the sheet says of the ward's own weeks, and how to read the chart."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from browline.documents.supplement import EventRow
from browline.services.review.ward_sheet.ask import Ask
from browline.services.review.wards import Followed
from browline.services.review.wards.trend import SITE

RANGE = re.compile(r"\([\d.]+ to [\d.]+ %\)")
AS_SAID = "The chart shows the fall told above."
SITE_INSTEAD = (
    "No week-by-week count is kept of what we ask about; the chart shows the site, which every ward can "
    "follow."
)
VALUE_INSTEAD = (
    "No week-by-week count is kept of what we ask about; the chart shows the value charted far too often."
)


@dataclass(frozen=True)
class Trend:
    """The ward's own weeks: what is followed, its reading in words, how to read the chart, what happened when."""

    followed: Followed
    said: str
    key: str
    events: Sequence[EventRow]


def ward_trend(followed: Followed, ask: Ask, events: Sequence[EventRow]) -> Trend:
    """The weeks of a ward beside what it is asked; a fall is told by the ask or the good thing, not again here."""
    sentences = [AS_SAID if followed.fell else followed.briefly]
    if followed.drawable and ask.test not in ("", followed.test):
        sentences.append(SITE_INSTEAD if followed.what == SITE else VALUE_INSTEAD)
    return Trend(followed, " ".join(sentences), _key(followed, ask), events)


def _key(followed: Followed, ask: Ask) -> str:
    """The brackets, the band and the rings, those that stand on this sheet."""
    drawn = followed.drawable and followed.limited
    ringed = drawn and followed.chart is not None and bool(followed.chart.outside.any())
    parts = [
        "In brackets: the range that holds the true size 95 times in 100." if RANGE.search(ask.why) else "",
        "Grey band, “usual up to”: how far chance takes an ordinary week." if drawn else "",
        "Ringed: a week outside the band." if ringed else "",
    ]
    return " ".join(filter(None, parts))
