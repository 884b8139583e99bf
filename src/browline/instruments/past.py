"""Readings charted past the date of a lens: what the charts can say of them, and how many they probably are.

What is said is either the count alone, as far as the charts reach, or, where recent charts end before the due date,
the usual number a day, named as such. The probable number is for the order alone.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from browline.instruments.problem import Problem
from browline.instruments.records import Cleaned, Entry

# Our judgement, no source: charts that ended longer ago say little of what is charted now.
RECENT_DAYS = 14


@dataclass(frozen=True)
class Past:
    """What the charts say of readings past the due date.

    Charts that reach past it give what was `counted` up to `charts_end`; recent ones that end before it the usual
    number `per_day`, with `counted` None.
    """

    charts_end: datetime
    counted: int | None = None
    per_day: float = 0.0


def due_day(cleaned: date, clean_days: int) -> date:
    """The day by which a lens cleaned on this day is to be cleaned again."""
    return cleaned + timedelta(days=clean_days)


def due_days(cleanings: Iterable[Cleaned], clean_days: int) -> dict[str, date]:
    """By instrument, when its lens is to be cleaned again; the cleanings' times in the wards' zone."""
    last: dict[str, date] = {}
    for cleaned in sorted(filter(counts_as_lens, cleanings), key=lambda c: c.time):
        last[cleaned.instrument] = cleaned.time.date()
    return {name: due_day(day, clean_days) for name, day in last.items()}


def past_from(due: date, zone: tzinfo | None) -> datetime:
    """The moment from which a reading is past the due date: the midnight that ends it."""
    return datetime.combine(due + timedelta(days=1), time(), zone)


def counts_as_lens(cleaned: Cleaned) -> bool:
    """Whether a cleaning counts as one of the lens: where the part was not said it may have been."""
    return cleaned.part != "case"


def charted_past(entry: Entry, due: date | None, problem: Problem) -> Past | None:
    """What may be said: the count where the charts reach past the due date, the usual number where they nearly do."""
    end, usual = problem.charts_end, problem.charted.get(entry.name)
    if end is None or due is None:
        return None
    if end >= past_from(due, problem.now.tzinfo):
        return Past(end, problem.charted_past.get(entry.name, 0))
    recent = end >= problem.now - timedelta(days=RECENT_DAYS)
    return Past(end, per_day=usual.per_day) if recent and usual else None


def probably_past(entry: Entry, due: date | None, overdue: int, problem: Problem) -> float:
    """Counted as far as the charts reach, the usual number after; a whole term where no cleaning is on record."""
    usual, end = problem.charted.get(entry.name), problem.charts_end
    rate = usual.per_day if usual else 0.0
    if due is None:
        return problem.clean_days * rate
    unreached = overdue if end is None else min(overdue, max(0, (problem.today - problem.day_of(end)).days))
    return (problem.charted_past.get(entry.name, 0) if overdue else 0) + unreached * rate
