"""Checks against a reference that are due, oldest first.

Follow the instructions for use; a year is typical, and sooner after a drop, a doubt or a damaged lens (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from browline.kit.records import Checked, Entry

CHECK_DAYS = 365


@dataclass(frozen=True)
class CheckDue:
    """The checks of one instrument: the last, its age in days, and when the next is due; None where none is known."""

    entry: Entry
    last: datetime | None = None
    age: int | None = None
    due: date | None = None
    to_do: bool = True

    @property
    def urgency(self) -> tuple[bool, int, str]:
        """Sorts those never checked first, then the oldest."""
        return (self.age is not None, -(self.age or 0), self.entry.name)


def check_due(entry: Entry, checked: Sequence[Checked], days: int, now: datetime) -> CheckDue:
    """How the checks of one instrument stand; `checked` are its own, in time order."""
    if not checked:
        return CheckDue(entry)
    last = checked[-1].time
    day = last.astimezone(now.tzinfo).date()
    due = day + timedelta(days=days)
    return CheckDue(entry, last, (now.date() - day).days, due, due <= now.date())
