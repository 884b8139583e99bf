"""One table of time texts drives both readers: the row twin and the SQL formats.

Each case: text, date order, the wall-clock time it means (None: cannot be read), its repair or reason, and
whether SQL must read it too. Meanings are those of ISO 8601, of POSIX strptime (two-digit years: 69 to 99
are 19..), and of the spreadsheet date systems (day 1 = 1 Jan 1900, or day 0 = 1 Jan 1904; ECMA-376 part 1,
18.17.4.1, from memory).
"""

from datetime import datetime
from typing import NamedTuple


class Case(NamedTuple):
    text: str
    order: str
    when: datetime | None
    code: str | None = None  # repair or reason
    sql: bool = True


_7_MARCH = datetime(2026, 3, 7, 14, 5)
_7_MARCH_S = datetime(2026, 3, 7, 14, 5, 9)

CASES = (
    Case("2026-03-07 14:05", "ymd", _7_MARCH),
    Case("2026-03-07T14:05:09", "ymd", _7_MARCH_S),
    Case("2026-03-07 14:05:09.317", "ymd", datetime(2026, 3, 7, 14, 5, 9, 317000)),
    Case("2026-03-07 14:05:09.317234", "dmy", datetime(2026, 3, 7, 14, 5, 9, 317234)),
    Case("2026-03-07 14:05:09.3172341", "ymd", datetime(2026, 3, 7, 14, 5, 9, 317234), sql=False),
    Case("2026/3/7 14:05", "mdy", _7_MARCH),
    Case("07/03/2026 14:05", "dmy", _7_MARCH),
    Case("7/3/2026 14:05", "dmy", _7_MARCH),
    Case("3/7/2026 2:05 PM", "mdy", _7_MARCH),
    Case("3/7/2026 2:05PM", "mdy", _7_MARCH),
    Case("03/07/2026 02:05:09 pm", "mdy", _7_MARCH_S),
    Case("07.03.2026 14:05", "dmy", _7_MARCH),
    Case("07.03.2026 14.05", "dmy", _7_MARCH),
    Case("07-03-2026 1405", "dmy", _7_MARCH),
    Case("07/03/2026  14:05", "dmy", _7_MARCH),
    Case("07/03/2026, 14:05", "dmy", _7_MARCH),
    Case(" 07/03/2026 14:05 ", "dmy", _7_MARCH),
    Case("07/03/26 14:05", "dmy", _7_MARCH, "two-digit-year"),
    Case("03/07/26 14:05", "mdy", _7_MARCH, "two-digit-year"),
    Case("26-03-07 14:05", "ymd", _7_MARCH, "two-digit-year"),
    Case("07/03/69 14:05", "dmy", datetime(1969, 3, 7, 14, 5), "two-digit-year"),
    Case("07/03/68 14:05", "dmy", datetime(2068, 3, 7, 14, 5), "two-digit-year"),
    Case("7 Mar 2026 14:05", "mdy", _7_MARCH),
    Case("07-MAR-2026 14:05", "mdy", _7_MARCH),
    Case("07-mar-26 14:05", "ymd", _7_MARCH, "two-digit-year"),
    Case("7 March 2026 14:05", "dmy", _7_MARCH),
    Case("Mar 7, 2026 2:05 PM", "dmy", _7_MARCH),
    Case("March 7, 2026 14:05", "dmy", _7_MARCH),
    Case("07 May 2026 14:05", "dmy", datetime(2026, 5, 7, 14, 5)),
    Case("20260307140509", "ymd", _7_MARCH_S),
    Case("202603071405", "ymd", _7_MARCH),
    Case("12/03/2026 12:05 AM", "dmy", datetime(2026, 3, 12, 0, 5)),
    Case("12/03/2026 12:05 PM", "dmy", datetime(2026, 3, 12, 12, 5)),
    Case("29/02/2024 00:00", "dmy", datetime(2024, 2, 29)),
    # the fallback's own
    Case("07/03/2026 24:00", "dmy", datetime(2026, 3, 8), "hour-24", sql=False),
    Case("31/12/2026 24:00:00", "dmy", datetime(2027, 1, 1), "hour-24", sql=False),
    Case("07/03/2026 14:05 PM", "dmy", _7_MARCH, "pm-after-noon", sql=False),
    Case("7/3/2026 2:05 p.m.", "dmy", _7_MARCH, sql=False),
    Case("7th March 2026 at 14:05", "dmy", _7_MARCH, sql=False),
    Case("Sat 7 Mar 2026 14:05", "dmy", _7_MARCH, sql=False),
    Case("7 Sept 2026 14:05", "dmy", datetime(2026, 9, 7, 14, 5), sql=False),
    Case("07/03/2026 1405 hrs", "dmy", _7_MARCH, sql=False),
    Case("46088.5", "dmy", datetime(2026, 3, 7, 12, 0), "excel-serial", sql=False),
    Case("46088,586805556", "dmy", datetime(2026, 3, 7, 14, 5), "excel-serial", sql=False),
    # reasons
    Case("", "dmy", None, "no-time", sql=False),
    Case("07/03/2026 24:30", "dmy", None, "time-impossible", sql=False),
    Case("31/02/2026 14:05", "dmy", None, "time-impossible", sql=False),
    Case("07/03/2026 14:61", "dmy", None, "time-impossible", sql=False),
    Case("14/03/2026 14:05", "mdy", None, "time-impossible", sql=False),
    Case("07/03/2026 0:05 AM", "dmy", None, "time-impossible", sql=False),
    Case("01/02/0026 14:05", "dmy", None, "time-impossible", sql=False),
    Case("later", "dmy", None, "time-unread", sql=False),
    Case("14:05", "dmy", None, "time-unread", sql=False),
    Case("7/3 14:05", "dmy", None, "time-unread", sql=False),
    Case("123456", "dmy", None, "time-unread", sql=False),
)
