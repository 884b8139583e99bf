"""One time text, read slowly and obviously: the twin of the SQL formats, and the fallback for what they leave.

`read_time` takes the text apart by hand, so that a table of cases can hold it against `time_formats` run
through strptime. It handles what no format can: 24:00, day numbers of spreadsheets, mixed separators.
"""

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from browline.intake.time_text import EARLIEST, full_year, month_number, split_offset

# Day 0 of the two date systems; they lie 1,462 days apart (a fictitious 29 Feb 1900 included).
EXCEL_1900, EXCEL_1904 = datetime(1899, 12, 30), datetime(1904, 1, 1)
_SERIAL = re.compile(r"\d{5}(?:[.,]\d+)?")
_SERIAL_DAYS = range(18_000, 80_000)  # 1949 to 2119; a smaller or larger number is no day number

_WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.IGNORECASE)
_CLOCK = re.compile(
    r"(?:(?<=\d)t|[\s,]|\bat\b|^)\s*(?P<h>\d{1,2})(?:[:.h](?P<m>\d{2})(?:[:.](?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?)?"
    r"\s*(?P<half>[ap]\.?m\.?)?\s*(?:hrs?|uhr)?$",
    re.IGNORECASE,
)
_CLOCK_COMPACT = re.compile(r"[\s,t](?P<h>\d{2})(?P<m>\d{2})(?P<s>\d{2})?\s*(?:hrs?)?$", re.IGNORECASE)
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})(?:t?(\d{2})(\d{2})(\d{2})?(?:[.,]\d+)?)?", re.IGNORECASE)


@dataclass(frozen=True)
class TimeRead:
    """One time text, read: wall-clock `when`, `offset` in minutes east of UTC where the text says so,
    `repair` (a code of `REPAIRS`) and `reason` (a code of `REASONS`).

    With the reason `time-of-day-missing`, `when` is midnight of the day: enough for a column of dates.
    """

    when: datetime | None = None
    offset: int | None = None
    repair: str | None = None
    reason: str | None = None


def read_time(text: str, order: str, *, excel_1904: bool = False) -> TimeRead:
    """Read one time text; `order` ("ymd", "dmy", "mdy") says how a date of bare numbers is written.

    >>> read_time("07/03/2026 24:00", "dmy")
    TimeRead(when=datetime.datetime(2026, 3, 8, 0, 0), offset=None, repair='hour-24', reason=None)
    >>> read_time("46088.5", "dmy").when, read_time("07/03/2026", "dmy").reason
    (datetime.datetime(2026, 3, 7, 12, 0), 'time-of-day-missing')
    """
    cut, offset = split_offset(text)
    if not cut:
        return TimeRead(reason="no-time")
    if _SERIAL.fullmatch(cut):
        return _serial(float(cut.replace(",", ".")), EXCEL_1904 if excel_1904 else EXCEL_1900)
    compact = _COMPACT.fullmatch(cut)
    read = _compact(compact) if compact else _date_and_clock(_WEEKDAY.sub("", cut), order)
    return replace(read, offset=offset) if read.when else read


def join_time(date_text: str, clock_text: str) -> str:
    """One text from a date cell and a clock cell, for `read_time`; the date's own midnight is dropped.

    >>> join_time("2026-03-07 00:00:00", "14:05"), join_time("07/03/2026", " 0930 ")
    ('2026-03-07 14:05', '07/03/2026 0930')
    """
    date = re.sub(r"[ T]0{1,2}:00(:00(\.0+)?)?$", "", date_text.strip())
    clock = clock_text.strip()
    if _SERIAL.fullmatch(date) and re.fullmatch(r"0?[.,]\d+", clock):
        return date + "." + re.split("[.,]", clock)[1]
    clock = re.sub(r"^1(899-12-3[01]|900-01-00|904-01-01)[ T]", "", clock)
    return f"{date} {clock}".strip()


def _serial(days: float, day_0: datetime) -> TimeRead:
    """A spreadsheet's day number, to the nearest second (its float holds no finer a time)."""
    if int(days) not in _SERIAL_DAYS:
        return TimeRead(reason="time-unread")
    when = day_0 + timedelta(days=int(days), seconds=round(days % 1 * 86_400))
    if days == int(days):
        return TimeRead(when, reason="time-of-day-missing")
    return TimeRead(when, repair="excel-1904" if day_0 == EXCEL_1904 else "excel-serial")


def _compact(match: re.Match[str]) -> TimeRead:
    """20260307140500, as interfaces send it."""
    year, month, day, hour, minute, second = match.groups()
    return _moment(_day(int(year), int(month), int(day)), hour, minute, second, "", "", None)


def _date_and_clock(text: str, order: str) -> TimeRead:
    clock = _clock_match(text)
    date_text = text[: clock.start()] if clock else text
    date = re.sub(r"\s+at$", "", date_text.strip(" ,"), flags=re.IGNORECASE)
    parts = [p for p in re.split(r"[\s,./-]+", date) if p]
    ymd = _year_month_day(parts, order)
    if ymd is None:
        return TimeRead(reason="time-unread")
    year, month, day = ymd
    repair = "two-digit-year" if len(year) == 2 else None
    whole = _day(full_year(year), month, day)
    if clock is None:
        return _moment(whole, None, None, None, "", "", repair)
    units = clock.groupdict()
    return _moment(
        whole, units["h"], units["m"], units["s"], units.get("f") or "", units.get("half") or "", repair
    )


def _clock_match(text: str) -> re.Match[str] | None:
    """The time of day at the end of a text; a bare hour ("14") counts only with am or pm."""
    match = _CLOCK_COMPACT.search(text)
    if match and len(re.findall(r"\w+", text[: match.start()])) >= 3:
        return match
    match = _CLOCK.search(text)
    return match if match and match.start() > 0 and (match["m"] or match["half"]) else None


def _year_month_day(parts: list[str], order: str) -> tuple[str, int, int] | None:
    """Year (as text), month and day of three date parts, a month name being read wherever it stands."""
    if len(parts) != 3:
        return None
    named = [i for i, p in enumerate(parts) if month_number(p)]
    numbers = [re.sub(r"(?<=\d)(st|nd|rd|th)$", "", p.lower()) for p in parts]
    if len(named) == 1:
        month = month_number(parts[named[0]]) or 0
        first, second = (n for i, n in enumerate(numbers) if i != named[0])
        year, day = (first, second) if len(first) == 4 else (second, first)
    else:
        places = "ymd" if len(numbers[0]) == 4 else order if order != "ymd" or len(numbers[2]) < 4 else ""
        if not places or not all(n.isdecimal() for n in numbers):
            return None
        by_letter = dict(zip(places, numbers, strict=True))
        year, day, month = by_letter["y"], by_letter["d"], int(by_letter["m"])
    if not (year.isdecimal() and day.isdecimal() and len(year) in (2, 4) and len(day) <= 2):
        return None
    return year, month, int(day)


def _day(year: int, month: int, day: int) -> datetime | None:
    try:
        whole = datetime(year, month, day)
    except ValueError:
        return None
    return whole if whole >= EARLIEST else None


def _moment(
    day: datetime | None, hour: str | None, minute: str | None, second: str | None, fraction: str, half: str,
    repair: str | None,
) -> TimeRead:  # fmt: skip
    """A day with its time of day; 24:00 is the next midnight, an impossible hour or day a reason."""
    if day is None:
        return TimeRead(reason="time-impossible")
    if hour is None:
        return TimeRead(day, repair=repair, reason="time-of-day-missing")
    h, m, s = int(hour), int(minute or 0), int(second or 0)
    micro = int(fraction[:6].ljust(6, "0")) if fraction else 0
    if (h, m, s, micro) == (24, 0, 0, 0):
        return TimeRead(day + timedelta(days=1), repair="hour-24")
    if half:
        if h > 12 and half[0] in "pP":
            repair = "pm-after-noon"
        elif not 1 <= h <= 12:
            return TimeRead(reason="time-impossible")
        else:
            h = h % 12 + (12 if half[0] in "pP" else 0)
    if h > 23 or m > 59 or s > 59:
        return TimeRead(reason="time-impossible")
    return TimeRead(day + timedelta(hours=h, minutes=m, seconds=s, microseconds=micro), repair=repair)
