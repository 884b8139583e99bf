"""The ward's own sheet as data: one side of paper with its trend, one good thing, one ask, and room to answer.

    ward_sheet(review, "Ward 3B") -> WardSheet

It names no person and no other ward. `browline.paper` sets it; nothing here knows of fonts or files.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from browline.audit import NOT_SAID
from browline.errors import InputRefused, NotUnderstood
from browline.services.book.preferences import choice
from browline.services.review.ward_sheet.ask import Ask, choose_ask
from browline.services.review.ward_sheet.good import good_news
from browline.services.review.ward_sheet.trend import Trend, ward_trend
from browline.services.review.wards import Ward, dated_events, find_fall, follow, ward, wards
from browline.store.models import Review

__all__ = ["Ask", "Trend", "WardSheet", "choose_ask", "good_news", "make_sheet", "ward_sheet", "ward_trend"]

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
    sheet_ward = ward(review, name)
    if review is None or sheet_ward is None or sheet_ward.name == NOT_SAID:
        raise _unknown(review, name)
    if sheet_ward.few:
        raise InputRefused(
            f"{name} has fewer than 10 readings.",
            "A sheet speaks of a ward's own weeks.",
            "Import more months first.",
        )
    return make_sheet(review, sheet_ward, "us-letter" if choice("paper") in ("letter", "us-letter") else "a4")


def make_sheet(review: Review, sheet_ward: Ward, paper: str) -> WardSheet:
    """The sheet of a ward with enough readings."""
    supplement = review.document.supplement
    days = [date.fromisoformat(d) if d else None for d in supplement.days or (None, None)]
    followed, events = follow(sheet_ward), dated_events(review, sheet_ward.name)
    ask = choose_ask(sheet_ward, find_fall(sheet_ward, followed, events))
    return WardSheet(
        hospital=supplement.hospital,
        ward=sheet_ward.name,
        first=days[0],
        last=days[1],
        made=review.at,
        again=review.at.date() + LOOK_AGAIN,
        version=f"Review {review.pk}, browline {review.version}",
        paper=paper,
        good=good_news(sheet_ward, followed, days[1], ask_has_fall=ask.fallen),
        ask=ask,
        trend=ward_trend(followed, ask, events),
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
