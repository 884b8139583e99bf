"""Checks against a reference that are due, oldest first; one that was out of limits is due until a later one is within.

Follow the instructions for use; a year is typical, and sooner after a drop, a doubt or a damaged lens (from memory).
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from browline.instruments.records import Checked, Entry

CHECK_DAYS = 365
# The largest error that ISO 80601-2-56 allows in the laboratory (as quoted by secondary sources); the edge is within.
LIMIT_C, ROUNDING_C = 0.3, 1e-6
FAILED = re.compile(r"\b(fail\w*|reject\w*|out of limits?|not (passed|ok|within)|outside)\b")


@dataclass(frozen=True)
class CheckDue:
    """The checks of one instrument: the last, its age in days, and when the next is due; None where none is known.

    `out`: the last check, where it was out of limits; then it is due at once, and stays so.
    """

    entry: Entry
    last: datetime | None = None
    age: int | None = None
    due: date | None = None
    to_do: bool = True
    out: Checked | None = None

    @property
    def urgency(self) -> tuple[bool, int, str]:
        """Sorts those never checked first, then the oldest."""
        return (self.age is not None, -(self.age or 0), self.entry.name)


def check_due(entry: Entry, checked: Sequence[Checked], days: int, now: datetime) -> CheckDue:
    """How the checks of one instrument stand; `checked` are its own, in time order."""
    if not checked:
        return CheckDue(entry)
    # Of two at one moment the less welcome stands.
    latest = max(checked, key=lambda c: (c.time, out_of_limits(c)))
    day = latest.time.astimezone(now.tzinfo).date()
    age, out = (now.date() - day).days, out_of_limits(latest)
    due = day if out else day + timedelta(days=days)
    return CheckDue(
        entry=entry,
        last=latest.time,
        age=age,
        due=due,
        to_do=out or due <= now.date(),
        out=latest if out else None,
    )


def out_of_limits(checked: Checked) -> bool:
    """Whether a check was out of limits, by its numbers or by the conclusion that was written.

    >>> from datetime import UTC
    >>> when = datetime(2026, 3, 7, tzinfo=UTC)
    >>> [out_of_limits(Checked("FS-07", when, 37.0, shown)) for shown in (36.7, 36.69, 37.31)]
    [False, True, True]
    >>> out_of_limits(Checked("FS-07", when, 37.0, 37.0, "Failed")), out_of_limits(Checked("FS-07", when))
    (True, False)
    """
    error = checked.error_c
    by_number = error is not None and abs(error) > LIMIT_C + ROUNDING_C
    return by_number or bool(FAILED.search(checked.result.lower()))
