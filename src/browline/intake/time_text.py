"""The grammar of date and time texts: what both readers of times (row twin and SQL formats) agree on.

A time text is a date, then perhaps a time of day, then perhaps an offset from UTC. Offsets are cut off
first, with `OFFSET`, a pattern that DuckDB's RE2 reads the same way.
"""

import re
from datetime import datetime

ORDERS = ("ymd", "dmy", "mdy")

EARLIEST = datetime(1900, 1, 1)  # an earlier year is a misreading

# An offset only after a time of day, else the "-07" of 2026-03-07 would be one. Group 1 stays, group 2 goes.
OFFSET = r"(?i)^(.*(?:\d:\d\d(?:[:.,]\d+)*|\d{12,14}(?:[.,]\d+)?))\s*(z|utc|gmt|[+-]\d\d(?::?\d\d)?)$"

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH_NAMES = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
    "november", "december",
)  # fmt: skip
_OFFSET = re.compile(OFFSET)


def split_offset(text: str) -> tuple[str, int | None]:
    """A time text without its offset, and the offset in minutes east of UTC (None where it has none).

    >>> split_offset("2026-03-07T14:05:00-09:00"), split_offset("2026-03-07")
    (('2026-03-07T14:05:00', -540), ('2026-03-07', None))
    """
    match = _OFFSET.match(text.strip())
    if not match:
        return text.strip(), None
    return match[1].strip(), _minutes(match[2].lower())


def _minutes(offset: str) -> int:
    if offset in ("z", "utc", "gmt"):
        return 0
    digits = offset[1:].replace(":", "").ljust(4, "0")
    minutes = int(digits[:2]) * 60 + int(digits[2:])
    return -minutes if offset[0] == "-" else minutes


def month_number(word: str) -> int | None:
    """1 to 12 for an English month name in full or cut to three or four letters; None otherwise.

    >>> month_number("Sept"), month_number("MARCH"), month_number("Mon")
    (9, 3, None)
    """
    letters = word.lower().rstrip(".")
    if letters in _MONTH_NAMES:
        return _MONTH_NAMES.index(letters) + 1
    return MONTHS.index(letters[:3]) + 1 if letters[:3] in MONTHS and len(letters) <= 4 else None


def full_year(digits: str) -> int:
    """The year of two or four digits; two as in POSIX strptime (69 to 99 are 19.., 00 to 68 are 20..).

    >>> full_year("26"), full_year("69"), full_year("2113")
    (2026, 1969, 2113)
    """
    year = int(digits)
    if len(digits) > 2:
        return year
    return year + (1900 if year >= 69 else 2000)


def shape(text: str) -> str:
    """A text with every digit as 9 and the rest as it stands: a million times have a handful of shapes.

    >>> shape("07 Mar 2026 14:05")
    '99 Mar 9999 99:99'
    """
    return re.sub(r"\d", "9", text)
