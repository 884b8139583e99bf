"""Dates and times that no one can misread."""

from datetime import date, datetime, time


def day(when: date | str) -> str:
    """A date no one can misread.

    >>> day("2026-03-07")
    '07 Mar 2026'
    """
    return as_date(when).strftime("%d %b %Y")


def short_day(when: date | str) -> str:
    """A date whose year is clear from what stands beside it.

    >>> short_day("2026-03-07")
    '07 Mar'
    """
    return as_date(when).strftime("%d %b")


def moment(when: datetime) -> str:
    """A date with its time of day, by the clock that `when` carries.

    >>> moment(datetime(2026, 3, 7, 14, 5))
    '07 Mar 2026 14:05'
    """
    return f"{day(when)} {time_of_day(when)}"


def time_of_day(when: datetime | time) -> str:
    """Hours and minutes.

    >>> time_of_day(datetime(2026, 3, 7, 14, 5))
    '14:05'
    """
    return when.strftime("%H:%M")


def weekday(when: date) -> str:
    """The day of the week, short.

    >>> weekday(date(2026, 3, 7))
    'Sat'
    """
    return when.strftime("%a")


def month(text: str) -> str:
    """A month written 2026-01 as a reader says it.

    >>> month("2026-01")
    'Jan 2026'
    """
    return as_date(text + "-01").strftime("%b %Y")


def month_alone(when: date) -> str:
    """A month whose year is clear from what stands beside it.

    >>> month_alone(date(2026, 3, 7))
    'Mar'
    """
    return when.strftime("%b")


def as_date(when: date | str) -> date:
    """A date from a date, a time, or ISO text."""
    if isinstance(when, str):
        return datetime.fromisoformat(when).date()
    return when.date() if isinstance(when, datetime) else when
