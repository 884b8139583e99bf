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
class Told:
    """What a heading tells of its day; what it does not tell is None."""

    year: int | None = None
    month: int | None = None
    day: int | None = None
    weekday: int | None = None

    def fits(self, when: date) -> bool:
        """Whether a date is what was told, as far as it was."""
        pairs = ((self.year, when.year), (self.month, when.month), (self.day, when.day))
        return all(said in (None, is_) for said, is_ in pairs) and self.weekday in (None, when.weekday())


def days_across(cells: Sequence[str], above: Sequence[Sequence[str]], today: date) -> dict[int, date]:
    """Column -> date of a row of headings, empty where this is no row of days.

    `above`: the rows over it, whose cells speak for the blank ones to their right. `today` settles the year
    where none is written: the one that brings the roster nearest.

    >>> days_across(["Name", "Mon 2", "Tue 3", "Wed 4"], [["March 2026", "", "", ""]], date(2026, 1, 1))[3]
    datetime.date(2026, 3, 4)
    """
    best: dict[int, date] = {}
    for order in _ORDERS:
        told = {i: t for i, cell in enumerate(cells) if (t := tell(cell, order)) is not None}
        if len(told) >= FEWEST:
            found = _walked(told, above, order, today)
            best = max(best, found, key=_even)
    return best if len(best) >= FEWEST and _even(best) >= EVEN else {}


def tell(cell: str, order: str) -> Told | None:
    """What one heading tells, None where it is no day; `order` reads bare numbers such as 02/03.

    >>> tell("Mon 2-Mar", "dmy"), tell("Name", "dmy")
    (Told(year=None, month=3, day=2, weekday=0), None)
    """
    text = " ".join(cell.split())
    named = _WEEKDAY.search(text)
    weekday = _WEEKDAYS.index(named[1][:3].lower()) if named else None
    rest = _WEEKDAY.sub("", text).strip(" ,.-\n")
    if not rest:
        return None if weekday is None else Told(weekday=weekday)
    whole = _whole(rest, order)
    if whole:
        return Told(whole.year, whole.month, whole.day, weekday)
    told = _partly(rest, order)
    return None if told is None else replace(told, weekday=weekday)


def _whole(text: str, order: str) -> date | None:
    """A whole date, or a spreadsheet's day number."""
    if not (_WHOLE.match(text) or _SERIAL.fullmatch(text)):
        return None
    read = read_time(text, order)
    return read.when.date() if read.when else None


def _partly(text: str, order: str) -> Told | None:
    if found := re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)?", text):
        return Told(day=int(found[1])) if 1 <= int(found[1]) <= 31 else None
    if found := re.fullmatch(r"(\d{1,2})[/.](\d{1,2})", text):
        first, second = int(found[1]), int(found[2])
        day, month = (first, second) if order == "dmy" else (second, first)
        return Told(month=month, day=day) if 1 <= month <= 12 and 1 <= day <= 31 else None
    return _with_month_name(text)


def _with_month_name(text: str) -> Told | None:
    """A day with its month by name, the name before or behind."""
    for pattern, (day, month) in ((_NAMED_DAY, (1, 2)), (_DAY_NAMED, (2, 1))):
        found = pattern.search(text)
        if found and month_number(found[month]) and 1 <= int(found[day]) <= 31:
            year = full_year(found[3]) if found[3] else None
            return Told(year, month_number(found[month]), int(found[day]))
    return None


def _context(text: str, order: str) -> Told | None:
    """What a title or a merged heading tells: a whole date, a month with its year, or a year."""
    if (found := _WHOLE.search(text)) and (whole := _whole(found[0], order)):
        return Told(whole.year, whole.month, whole.day)
    if (named := _with_month_name(text)) and named.year:
        return named
    for pair in _MONTH_YEAR.finditer(text):
        if month_number(pair[1]):
            return Told(full_year(pair[2]), month_number(pair[1]))
    found_year = _YEAR.search(text)
    return Told(int(found_year[1])) if found_year else None


def _walked(
    told: dict[int, Told], above: Sequence[Sequence[str]], order: str, today: date
) -> dict[int, date]:
    first = min(told)
    for start in _starts(first, told[first], above, order, today):
        found = _walk(told, start)
        if found:
            return found
    return {}


def _starts(
    column: int, told: Told, above: Sequence[Sequence[str]], order: str, today: date
) -> Iterator[date]:
    """Dates from which the first day may be looked for, the likeliest first."""
    if told.year and told.month and told.day:
        yield from _there_is(told.year, told.month, told.day)
        return
    over = [_filled(row, column) for row in reversed(above)]
    titles = [" ".join(cell for cell in row if cell.strip()) for row in reversed(above)]
    for text in (*over, *titles):
        said = _context(text, order)
        if said is not None and said.year:
            yield from _there_is(said.year, said.month or told.month or 1, said.day or 1)
    if told.day is not None and told.month is not None:
        years = sorted((today.year - 1, today.year, today.year + 1), key=lambda y: abs(y - today.year))
        yield from sorted((date(y, told.month, 1) for y in years), key=lambda d: abs((d - today).days))


def _there_is(year: int, month: int, day: int) -> Iterator[date]:
    """The date, where there is such a day in the years that rosters are of."""
    if year in _YEARS and 1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]:
        yield date(year, month, day)


def _filled(row: Sequence[str], column: int) -> str:
    """The heading over a column: its own cell, or the nearest filled one to the left (cells merged across)."""
    return next((row[i] for i in range(min(column, len(row) - 1), -1, -1) if row[i].strip()), "")


def _walk(told: dict[int, Told], start: date) -> dict[int, date]:
    """Each day the next that fits; empty where one fits nothing near."""
    found: dict[int, date] = {}
    at = start
    for column, said in sorted(told.items()):
        near = next((at + timedelta(d) for d in range(_FARTHEST) if said.fits(at + timedelta(d))), None)
        if near is None:
            return {}
        found[column], at = near, near + timedelta(days=1)
    return found


def _even(days: dict[int, date]) -> float:
    """The share of days that follow the one before."""
    in_order = [days[column] for column in sorted(days)]
    steps = [(later - earlier).days == 1 for earlier, later in pairwise(in_order)]
    return sum(steps) / len(steps) if steps else 0.0
