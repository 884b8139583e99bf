"""When a visit can begin: the educator's hours on each day, away from observation rounds and from days she is away."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from browline.services.training.visit_plan.options import Options, clock, span
from browline.visit_plan import NIGHT, WEEKDAY, WEEKEND, Stretch

SATURDAY = 5
MOMENT_H = 1e-9


def stretches(options: Options, now: datetime) -> tuple[Stretch, ...]:
    """The educator's stretches in these weeks; starts before `now` (on the hospital's clock) are gone."""
    gone = (now.replace(tzinfo=None) - midnight(options.first_day)).total_seconds() / 3600
    unsorted = (
        stretch
        for day in range(7 * options.weeks)
        if (options.first_day + timedelta(days=day)).isoformat() not in options.away
        for stretch in _of_day(options, day, gone)
    )
    return tuple(sorted(unsorted, key=lambda stretch: stretch.start))


def time_of_week(day: date, kind: str) -> int:
    """Which time of the week a duty of this kind belongs to."""
    if kind == "night":
        return NIGHT
    return WEEKEND if day.weekday() >= SATURDAY else WEEKDAY


def midnight(day: date) -> datetime:
    """The start of a day, on the ward's own clock."""
    return datetime(day.year, day.month, day.day)


def hours_from(first: date, moment: datetime) -> float:
    """Hours on the wall clock from midnight of the first day."""
    return (moment.replace(tzinfo=None) - midnight(first)).total_seconds() / 3600


def week_of(first: date, day: date) -> int:
    """The week of a day, from 0 for that of the first day; weeks run from Monday to Sunday.

    >>> [week_of(date(2026, 3, 4), date(2026, 3, day)) for day in (1, 2, 8, 9)]
    [-1, 0, 0, 1]
    """
    return ((day - first).days + first.weekday()) // 7


def _of_day(options: Options, day: int, gone: float) -> Iterator[Stretch]:
    weekday = (options.first_day + timedelta(days=day)).weekday()
    by_day = WEEKEND if weekday >= SATURDAY else WEEKDAY
    text = options.weekends if by_day == WEEKEND else options.weekdays if weekday in options.days else ""
    for given, time in ((span(text), by_day), (span(options.night), NIGHT)):
        if given is not None:
            starts = tuple(24 * day + s for s in _starts(options, *given) if 24 * day + s > gone)
            if starts:
                yield Stretch(24 * day + given[0], 24 * day + given[1], time, starts)


def _starts(options: Options, first: float, last: float) -> Iterator[float]:
    """Starts of visits one after another, each clear of every round; a round in the way puts the next after it."""
    visit, step = options.visit_minutes / 60, (options.visit_minutes + options.walk_minutes) / 60
    rounds = sorted(clock(text) + 24 * day for text in options.rounds for day in (0, 1))
    start = first
    while start + visit <= last + MOMENT_H:
        in_the_way = [
            r + options.round_minutes / 60
            for r in rounds
            if start < r + options.round_minutes / 60 - MOMENT_H and r < start + visit - MOMENT_H
        ]
        if in_the_way:
            start = max(in_the_way)
        else:
            yield start
            start += step
