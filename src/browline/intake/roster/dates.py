"""The days across the top of a roster, however they are written, as dates.

Each heading tells what it can (weekday, day, month, year); merged headings above and the titles tell the rest.
The days of a roster follow one another, so each is the next date that fits what its own heading says. This also
settles whether 02/03 is in March or February.
"""

import re
from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

from browline.intake.time_text import full_year, month_number
from browline.intake.times import read_time

FEWEST, EVEN = 3, 0.8
_FARTHEST = 45
_YEARS = range(1990, 2100)
_ORDERS = ("dmy", "mdy")
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_WEEKDAY = re.compile(r"(?i)\b(mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\b\.?,?")
_SERIAL = re.compile(r"[34]\d{4}")
_WHOLE = re.compile(r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d{2})(?!\d)")
_NAMED_DAY = re.compile(
    r"(?i)(\d{1,2})(?:st|nd|rd|th)?[\s-]+(?:of )?([a-z]{3,9})\.?,?(?:[\s-]+'?(\d{4}|\d{2})\b)?"
)
_DAY_NAMED = re.compile(r"(?i)\b([a-z]{3,9})\.?[\s-]+(\d{1,2})(?:st|nd|rd|th)?\b(?:,?\s+(\d{4}))?")
_MONTH_YEAR = re.compile(r"(?i)\b([a-z]{3,9})\.?[\s,'-]+(\d{4}|\d{2})\b")
_YEAR = re.compile(r"\b(20\d{2})\b")


@dataclass(frozen=True)
class DateParts:
    """The parts of a date that a heading names; None where it does not."""

    year: int | None = None
    month: int | None = None
    day: int | None = None
    weekday: int | None = None

    def fits(self, when: date) -> bool:
        """Whether a date has these parts, None fitting any."""
        pairs = ((self.year, when.year), (self.month, when.month), (self.day, when.day))
        return all(part in (None, value) for part, value in pairs) and self.weekday in (None, when.weekday())


def days_across(cells: Sequence[str], above: Sequence[Sequence[str]], today: date) -> dict[int, date]:
    """Column -> date of a row of headings, empty where this is no row of days.

    `above`: the rows over it, whose cells speak for the blank ones to their right. `today` settles the year
    where none is written: the one that brings the roster nearest.

    >>> days_across(["Name", "Mon 2", "Tue 3", "Wed 4"], [["March 2026", "", "", ""]], date(2026, 1, 1))[3]
    datetime.date(2026, 3, 4)
    """
    best: dict[int, date] = {}
    for order in _ORDERS:
        headings = {i: t for i, cell in enumerate(cells) if (t := read_heading(cell, order)) is not None}
        if len(headings) >= FEWEST:
            dates = _dates(headings, above, order, today)
            best = max(best, dates, key=_even)
    return best if len(best) >= FEWEST and _even(best) >= EVEN else {}


def read_heading(cell: str, order: str) -> DateParts | None:
    """The parts of a date in one heading, None where it is no day; `order` reads bare numbers such as 02/03.

    >>> read_heading("Mon 2-Mar", "dmy"), read_heading("Name", "dmy")
    (DateParts(year=None, month=3, day=2, weekday=0), None)
    """
    text = " ".join(cell.split())
    named = _WEEKDAY.search(text)
    weekday = _WEEKDAYS.index(named[1][:3].lower()) if named else None
    without_weekday = _WEEKDAY.sub("", text).strip(" ,.-\n")
    if not without_weekday:
        return None if weekday is None else DateParts(weekday=weekday)
    whole = _whole(without_weekday, order)
    if whole:
        return DateParts(whole.year, whole.month, whole.day, weekday)
    parts = _partly(without_weekday, order)
    return None if parts is None else replace(parts, weekday=weekday)


def _whole(text: str, order: str) -> date | None:
    """A whole date, or a spreadsheet's day number."""
    if not (_WHOLE.match(text) or _SERIAL.fullmatch(text)):
        return None
    read = read_time(text, order)
    return read.when.date() if read.when else None


def _partly(text: str, order: str) -> DateParts | None:
    if match := re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)?", text):
        return DateParts(day=int(match[1])) if 1 <= int(match[1]) <= 31 else None
    if match := re.fullmatch(r"(\d{1,2})[/.](\d{1,2})", text):
        first, second = int(match[1]), int(match[2])
        day, month = (first, second) if order == "dmy" else (second, first)
        return DateParts(month=month, day=day) if 1 <= month <= 12 and 1 <= day <= 31 else None
    return _with_month_name(text)


def _with_month_name(text: str) -> DateParts | None:
    """A day with its month by name, the name before or behind."""
    for pattern, (day, month) in ((_NAMED_DAY, (1, 2)), (_DAY_NAMED, (2, 1))):
        match = pattern.search(text)
        if match and month_number(match[month]) and 1 <= int(match[day]) <= 31:
            year = full_year(match[3]) if match[3] else None
            return DateParts(year, month_number(match[month]), int(match[day]))
    return None


def _context(text: str, order: str) -> DateParts | None:
    """What a title or a merged heading tells: a whole date, a month with its year, or a year."""
    if (match := _WHOLE.search(text)) and (whole := _whole(match[0], order)):
        return DateParts(whole.year, whole.month, whole.day)
    if (named := _with_month_name(text)) and named.year:
        return named
    for pair in _MONTH_YEAR.finditer(text):
        if month_number(pair[1]):
            return DateParts(full_year(pair[2]), month_number(pair[1]))
    year_match = _YEAR.search(text)
    return DateParts(int(year_match[1])) if year_match else None


def _dates(
    headings: dict[int, DateParts], above: Sequence[Sequence[str]], order: str, today: date
) -> dict[int, date]:
    first = min(headings)
    for start in _starts(first, headings[first], above, order, today):
        dates = _consecutive(headings, start)
        if dates:
            return dates
    return {}


def _starts(
    column: int, heading: DateParts, above: Sequence[Sequence[str]], order: str, today: date
) -> Iterator[date]:
    """Dates from which the first day may be looked for, the likeliest first."""
    if heading.year and heading.month and heading.day:
        yield from _there_is(heading.year, heading.month, heading.day)
        return
    over = [_filled(row, column) for row in reversed(above)]
    titles = [" ".join(cell for cell in row if cell.strip()) for row in reversed(above)]
    for text in (*over, *titles):
        context = _context(text, order)
        if context is not None and context.year:
            yield from _there_is(context.year, context.month or heading.month or 1, context.day or 1)
    if heading.day is not None and heading.month is not None:
        years = sorted((today.year - 1, today.year, today.year + 1), key=lambda y: abs(y - today.year))
        yield from sorted((date(y, heading.month, 1) for y in years), key=lambda d: abs((d - today).days))


def _there_is(year: int, month: int, day: int) -> Iterator[date]:
    """The date, where there is such a day in the years that rosters are of."""
    if year in _YEARS and 1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]:
        yield date(year, month, day)


def _filled(row: Sequence[str], column: int) -> str:
    """The heading over a column: its own cell, or the nearest filled one to the left (cells merged across)."""
    return next((row[i] for i in range(min(column, len(row) - 1), -1, -1) if row[i].strip()), "")


def _consecutive(headings: dict[int, DateParts], start: date) -> dict[int, date]:
    """Each day the next that fits; empty where one fits nothing near."""
    dates: dict[int, date] = {}
    earliest = start
    for column, heading in sorted(headings.items()):
        near = next(
            (earliest + timedelta(d) for d in range(_FARTHEST) if heading.fits(earliest + timedelta(d))), None
        )
        if near is None:
            return {}
        dates[column], earliest = near, near + timedelta(days=1)
    return dates


def _even(days: dict[int, date]) -> float:
    """The share of days that follow the one before."""
    in_order = [days[column] for column in sorted(days)]
    steps = [(later - earlier).days == 1 for earlier, later in pairwise(in_order)]
    return sum(steps) / len(steps) if steps else 0.0
