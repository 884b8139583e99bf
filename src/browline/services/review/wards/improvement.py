"""A share that was seen to be too high and has since fallen: told once, with what happened in that week."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from browline import display
from browline.documents.supplement import EventRow
from browline.services.review.wards.from_review import Ward
from browline.services.review.wards.trend import Followed

WEEK = timedelta(days=7)


@dataclass(frozen=True)
class Fall:
    """The share of `test` fell from `before` to `after` (in [0, 1]) in the week of `week`; `events` of that week."""

    test: str
    what: str
    before: float
    after: float
    week: date
    events: tuple[str, ...]

    @property
    def question(self) -> str:
        """What to ask, now that it is less."""
        beside = f" ({'; '.join(self.events)})" if self.events else ""
        return (
            f"{self.what[:1].upper()}{self.what[1:]} fell from {display.share(self.before)} to "
            f"{display.share(self.after)} in the week of {display.day(self.week)}{beside}; "
            "what changed, and what is left?"
        )


def find_fall(ward: Ward, followed: Followed, events: Sequence[EventRow]) -> Fall | None:
    """The fall of the share followed, where it is one that was seen; None where it did not fall by a dated step.

    - `events`: rows with `date` and `what`, the ward's own and the whole hospital's.
    """
    change = followed.change
    if change is None or not followed.fell or followed.test not in {a.test for a in ward.seen}:
        return None
    week = followed.weeks[change.first]
    near = tuple(
        f"{e.what}, {display.day(e.date)}" for e in events if week <= display.as_date(e.date) < week + WEEK
    )
    return Fall(
        test=followed.test,
        what=followed.what,
        before=change.before,
        after=change.after,
        week=week,
        events=near,
    )
