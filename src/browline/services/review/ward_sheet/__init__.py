"""The ward's own sheet as data: one side of paper with its trend, one good thing, one ask, and room to answer.

    ward_sheet(review, "Ward 3B") -> WardSheet

It names no person and no other ward. `browline.paper` sets it; nothing here knows of fonts or files.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from browline.audit import NOT_SAID
from browline.errors import InputRefused, NotUnderstood
from browline.services.book.preferences import choice
from browline.services.review.ward_sheet.ask import Ask, ask_of
from browline.services.review.ward_sheet.good import good_of
from browline.services.review.ward_sheet.trend import Trend, trend_of
from browline.services.review.wards import Ward, events_of, fall_of, follow, ward, wards
from browline.store.models import Review

__all__ = ["Ask", "Trend", "WardSheet", "ask_of", "good_of", "sheet_of", "trend_of", "ward_sheet"]

CAUTION = (
    "This sheet supports teaching and quality review; it does not diagnose. Local policy and licensed judgement come "
    "first. A patient who looks ill is escalated whatever the number says."
)
ABOUT = "About this ward alone, and how temperatures come into its chart. Nobody is named or ranked."
ANSWERS = ("How we see it", "What we will try, or need", "Until when")
LOOK_AGAIN = timedelta(days=91)


@dataclass(frozen=True)
class WardSheet:
    """One side of paper. `made`: when the review was made, stamped on it; `again`: by when to look again."""

    hospital: str
    ward: str
    first: date | None
    last: date | None
    made: datetime
    again: date
    version: str
    paper: str
    good: str
    ask: Ask
    trend: Trend
    answers: tuple[str, ...] = ANSWERS
    about: str = ABOUT
    caution: str = CAUTION


def ward_sheet(review: Review | None, name: str) -> WardSheet:
    """The sheet of one ward of a review, on the paper in force. Refuses a ward it cannot speak to."""
    found = ward(review, name)
    if review is None or found is None or found.name == NOT_SAID:
        raise _unknown(review, name)
    if found.few:
        raise InputRefused(
            f"{name} has fewer than 10 readings.",
            "A sheet speaks of a ward's own weeks.",
            "Import more months first.",
        )
    return sheet_of(review, found, "us-letter" if choice("paper") in ("letter", "us-letter") else "a4")


def sheet_of(review: Review, found: Ward, paper: str) -> WardSheet:
    """The sheet of a ward with enough readings."""
    supplement = review.document.supplement
    days = [date.fromisoformat(d) if d else None for d in supplement.days or (None, None)]
    followed, events = follow(found), events_of(review, found.name)
    ask = ask_of(found, fall_of(found, followed, events))
    return WardSheet(
        hospital=supplement.hospital,
        ward=found.name,
        first=days[0],
        last=days[1],
        made=review.at,
        again=review.at.date() + LOOK_AGAIN,
        version=f"Review {review.pk}, browline {review.version}",
        paper=paper,
        good=good_of(found, followed, days[1], told=ask.fallen),
        ask=ask,
        trend=trend_of(followed, ask, events),
    )


def _unknown(review: Review | None, name: str) -> NotUnderstood:
    known = [w.name for w in wards(review) if w.name != NOT_SAID]
    if not known:
        return NotUnderstood(
            "No ward has been looked at yet.", "A sheet tells what a review saw.", "Run a review first."
        )
    return NotUnderstood(
        f"The last review knows no ward called {name!r}.",
        f"It knows {', '.join(known)}.",
        "Choose one of these.",
    )
