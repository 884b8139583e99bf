"""strptime formats for the shapes of a column's times, so that SQL reads a million of them at once.

What has no format (24:00, day numbers of spreadsheets, odd separators) is left to `read_time`, text by
distinct text. Formats with a two-digit year come first, and what SQL reads before `EARLIEST` must count as
unread: DuckDB reads "26" under %Y as the year 26.
"""

import re
from collections.abc import Iterable

from browline.intake.time_text import month_number

_DATE_PLACES = {"y": ("%y", "%Y"), "m": ("%m", "%m"), "d": ("%d", "%d")}
_CLOCKS = (
    (r"9?9:99", "%H:%M"),
    (r"9?9:99:99", "%H:%M:%S"),
    (r"9?9:99:99\.9{1,6}", "%H:%M:%S.%f"),
    (r"9?9\.99", "%H.%M"),
    (r"9999", "%H%M"),
    (r"9?9:99 ?[ap]m", "%I:%M"),
    (r"9?9:99:99 ?[ap]m", "%I:%M:%S"),
)
_COMPACT = {"99999999": "%Y%m%d", "999999999999": "%Y%m%d%H%M", "99999999999999": "%Y%m%d%H%M%S"}
_SPLIT = re.compile(
    r"(?P<date>.*?(?:9{1,4}|[a-z]))(?P<gap>t|,? +|$)(?P<clock>9?9[:.]99.*|9999)?", re.IGNORECASE
)


def time_formats(shapes: Iterable[str], order: str) -> tuple[str, ...]:
    """Formats for `shapes` (digits as 9, offsets cut off), in the order in which SQL should try them.

    >>> time_formats(["99/99/9999 9:99", "9999-99-99T99:99:99.999"], "dmy")
    ('%Y-%m-%dT%H:%M:%S.%f', '%d/%m/%Y %H:%M')
    """
    formats = {f for s in shapes if (f := _format(" ".join(s.split()), order)) is not None}
    return tuple(sorted(formats, key=lambda f: ("%y" not in f, -len(f), f)))


def format_repair(time_format: str) -> str | None:
    """The repair that reading with this format means: a two-digit year, or None."""
    return "two-digit-year" if "%y" in time_format else None


def _format(shape: str, order: str) -> str | None:
    if shape in _COMPACT:
        return _COMPACT[shape]
    parts = _SPLIT.fullmatch(shape)
    if not parts or bool(parts["clock"]) != bool(parts["gap"]):
        return None
    date = _date_format(parts["date"], order)
    clock = _clock_format(parts["clock"]) if parts["clock"] else ""
    if date is None or clock is None:
        return None
    return date + parts["gap"] + clock


def _clock_format(clock: str) -> str | None:
    for pattern, time_format in _CLOCKS:
        if re.fullmatch(pattern, clock, re.IGNORECASE):
            if not time_format.startswith("%I"):
                return time_format
            return time_format + (" %p" if " " in clock else "%p")
    return None


def _date_format(date: str, order: str) -> str | None:
    """The format of a date shape: year first as it stands, month names anywhere, else by `order`."""
    pieces = re.fullmatch(r"([a-z9]+)([-/. ]|, )([a-z9]+)([-/. ]|, )([a-z9]+)", date, re.IGNORECASE)
    if not pieces:
        return None
    first, gap, second, gap_2, third = pieces.groups()
    places = _places((first, second, third), order)
    return None if places is None else places[0] + gap + places[1] + gap_2 + places[2]


def _places(parts: tuple[str, str, str], order: str) -> tuple[str, ...] | None:
    named = [i for i, p in enumerate(parts) if month_number(p)]
    widths = [len(p) for p in parts]
    if len(named) == 1:
        month = "%B" if widths[named[0]] > 3 else "%b"
        if widths[named[0]] == 4 and parts[named[0]].lower() != "june" and parts[named[0]].lower() != "july":
            return None
        year_first = widths[0] == 4 and named[0] != 0
        letters = ["y" if year_first else "d", "d" if year_first else "y"]
        remaining = iter(letters)
        return _checked(parts, [month if i in named else next(remaining) for i in range(3)])
    if any(not set(p) <= {"9"} for p in parts):
        return None
    if widths[0] == 4:
        return _checked(parts, list("ymd"))
    return None if order == "ymd" and widths[2] == 4 else _checked(parts, list(order))


def _checked(parts: tuple[str, str, str], letters: list[str]) -> tuple[str, ...] | None:
    """Directives for the parts, or None where a width does not fit (a three-digit year, a four-digit day)."""
    directives = []
    for part, letter in zip(parts, letters, strict=True):
        if letter.startswith("%"):
            directives.append(letter)
        elif letter == "y" and len(part) in (2, 4):
            directives.append(_DATE_PLACES["y"][len(part) == 4])
        elif letter != "y" and len(part) <= 2:
            directives.append(_DATE_PLACES[letter][0])
        else:
            return None
    return tuple(directives)
