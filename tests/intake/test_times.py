"""Trap 7 (dates) and the hours of trap 6: one table of cases through both readers of times."""

from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import duckdb
import pytest
from hypothesis import given
from hypothesis import strategies as st

from browline.errors import NotUnderstood, Undecided
from browline.intake import (
    EARLIEST,
    OFFSET,
    format_repair,
    join_time,
    read_time,
    settle_dates,
    shape,
    split_offset,
    time_formats,
    zone_stretches,
)
from browline.intake.time_text import ORDERS

from .time_cases import CASES, Case


@pytest.fixture(scope="module")
def sql():
    return duckdb.connect()


def in_sql(sql, text, formats):
    """The first format that fits, as the store's query would do it, and which."""
    for time_format in formats:
        when = sql.execute("select try_strptime(?, ?)", [text.strip(), time_format]).fetchone()[0]
        if when is not None and when >= EARLIEST:
            return when, format_repair(time_format)
    return None, None


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.text or "blank")
def test_trap_7_the_row_twin_reads_each_case(case: Case) -> None:
    read = read_time(case.text, case.order)
    assert read.when == case.when
    assert (read.reason if case.when is None else read.repair) == case.code


@pytest.mark.parametrize("case", [c for c in CASES if c.sql], ids=lambda c: c.text)
def test_trap_7_sql_formats_read_what_they_claim(sql, case: Case) -> None:
    formats = time_formats([shape(case.text.strip())], case.order)
    assert in_sql(sql, case.text, formats) == (case.when, case.code)


@pytest.mark.parametrize("order", ORDERS)
def test_trap_7_sql_never_disagrees_with_the_row_twin(sql, order) -> None:
    """All formats of all shapes at once, tried on every text: what SQL reads, the twin reads the same."""
    formats = time_formats({shape(c.text.strip()) for c in CASES}, order)
    for case in CASES:
        when, repair = in_sql(sql, case.text, formats)
        if when is not None:
            read = read_time(case.text, order)
            assert (when, repair) == (read.when, read.repair), case.text


@given(
    when=st.datetimes(datetime(1970, 1, 1), datetime(2068, 12, 31)).map(lambda t: t.replace(microsecond=0)),
    written=st.sampled_from(
        [("dmy", "%d/%m/%Y %H:%M:%S"), ("mdy", "%m/%d/%Y %I:%M:%S %p"), ("ymd", "%Y-%m-%dT%H:%M:%S"),
         ("dmy", "%d.%m.%y %H:%M:%S"), ("mdy", "%d %b %Y %H:%M:%S"), ("ymd", "%Y%m%d%H%M%S")]
    ),
)  # fmt: skip
def test_trap_7_times_come_back_in_every_order(when, written) -> None:
    order, time_format = written
    assert read_time(when.strftime(time_format), order).when == when


def test_trap_7_the_two_spreadsheet_date_systems_lie_1462_days_apart() -> None:
    a, b = read_time("44000.25", "dmy"), read_time("44000.25", "dmy", excel_1904=True)
    assert a.when == datetime(2020, 6, 18, 6, 0)  # as openpyxl reads it, below
    assert b.when - a.when == timedelta(days=1462)
    assert (a.repair, b.repair) == ("excel-serial", "excel-1904")


def test_trap_7_spreadsheet_days_agree_with_openpyxl() -> None:
    from openpyxl.utils.datetime import CALENDAR_MAC_1904, from_excel

    for serial in (44000.25, 20000.5, 36526.123456, 46088.586805556, 60000.999):
        said = from_excel(serial)
        assert abs((read_time(str(serial), "ymd").when - said).total_seconds()) <= 1
        said = from_excel(serial, CALENDAR_MAC_1904)
        assert abs((read_time(str(serial), "ymd", excel_1904=True).when - said).total_seconds()) <= 1


def test_a_day_without_a_time_of_day_is_a_day_and_a_reason() -> None:
    for text in ("2026-03-07", "07/03/2026", "7 Mar 2026", "20260307", "46088"):
        read = read_time(text, "dmy")
        assert (read.when, read.reason) == (datetime(2026, 3, 7), "time-of-day-missing"), text


class TestTheDateOrder:
    """Trap 7: settled by one date above 12, asked for otherwise, told where both occur."""

    def test_is_settled_by_one_day_above_12(self) -> None:
        assert settle_dates(["03/04/2026 10:00", "25/04/2026 10:00"]) == "dmy"
        assert settle_dates(["03/04/2026 10:00", "04/25/2026 10:00"]) == "mdy"

    def test_is_asked_for_when_all_days_are_below_13(self) -> None:
        with pytest.raises(Undecided) as asked:
            settle_dates([f"{d:02d}/03/2026 10:00" for d in range(1, 13)])
        assert asked.value.choices == ("dmy", "mdy") and asked.value.question.endswith("?")

    def test_mixed_orders_are_told_and_never_guessed(self) -> None:
        with pytest.raises(Undecided, match="1 only as day, month, year, 2 only as month, day, year"):
            settle_dates(["25/04/2026", "04/25/2026", "04/26/2026", "01/02/2026"])

    def test_is_not_needed_where_the_year_comes_first_or_the_month_has_a_name(self) -> None:
        assert settle_dates(["2026-03-07 10:00", "7 Mar 2026", "46088.5", ""]) == "ymd"

    def test_two_digit_years_may_stand_first(self) -> None:
        assert settle_dates(["45-03-31", "45-12-01"]) == "ymd"
        with pytest.raises(Undecided) as asked:
            settle_dates(["05-03-07"])
        assert set(asked.value.choices) == {"ymd", "dmy", "mdy"}

    def test_a_nonsense_date_settles_nothing(self) -> None:
        assert settle_dates(["45/45/2026", "25/04/2026"]) == "dmy"


@pytest.mark.parametrize(
    ("text", "offset"),
    [("2026-03-07T14:05:00Z", 0), ("2026-03-07 14:05:00+00:00", 0), ("2026-03-07T14:05:00.317-09:30", -570),
     ("20260307140500+0530", 330), ("2026-03-07 14:05 UTC", 0), ("2026-03-07 14:05", None), ("2026-03-07", None)],
)  # fmt: skip
def test_offsets_are_cut_off_the_same_way_here_and_in_sql(sql, text, offset) -> None:
    cut, minutes = split_offset(text)
    assert minutes == offset
    replaced = sql.execute("select regexp_replace(?, ?, '\\1')", [text, OFFSET]).fetchone()[0]
    assert replaced.strip() == cut
    assert read_time(text, "ymd").offset == offset


def test_a_year_before_1900_is_a_misreading() -> None:
    assert read_time("01/01/1900 00:00", "dmy").when == datetime(1900, 1, 1)
    assert read_time("31/12/1899 23:59", "dmy").reason == "time-impossible"


def test_date_and_clock_in_two_columns_are_joined() -> None:
    for date, clock in (("07/03/2026", "14:05"), ("2026-03-07 00:00:00", "1405"), ("46088", "0.586805556"),
                        ("07/03/2026", "1899-12-31 14:05:00"), ("2026-03-07", "2:05 pm")):  # fmt: skip
        assert read_time(join_time(date, clock), "dmy").when == datetime(2026, 3, 7, 14, 5), (date, clock)


class TestTheWallClock:
    """Trap 6: the clock change repeats an hour in autumn and skips one in spring."""

    def test_marks_the_repeated_and_the_skipped_hour(self) -> None:
        stretches = zone_stretches("Europe/London", datetime(2026, 1, 1), datetime(2026, 12, 31))
        marked = {s.mark: s for s in stretches if s.mark != "plain"}
        # BST 2026: 29 March 01:00 UTC to 25 October 01:00 UTC (EU rule: last Sundays of March and October)
        assert marked["skipped"].start == datetime(2026, 3, 29, 1) and marked["skipped"].until.hour == 2
        repeated = marked["repeated"]
        assert (repeated.start, repeated.until) == (datetime(2026, 10, 25, 1), datetime(2026, 10, 25, 2))
        assert (repeated.offset, repeated.second_offset) == (60, 0)

    @pytest.mark.parametrize(
        "zone", ["America/New_York", "Australia/Lord_Howe", "Asia/Kolkata", "Pacific/Apia", "UTC"]
    )
    def test_agrees_with_the_zone_database_at_every_half_hour(self, zone) -> None:
        first, last = datetime(2011, 6, 1), datetime(2012, 6, 1)
        stretches = zone_stretches(zone, first, last)
        assert stretches[0].start == first
        assert all(a.until == b.start for a, b in pairwise(stretches))
        tz, t = ZoneInfo(zone), first
        while t <= last:
            stretch = next(s for s in stretches if s.start <= t < s.until)
            said = t.replace(tzinfo=tz, fold=0).utcoffset()
            assert stretch.offset == said.total_seconds() / 60, t
            again = t.replace(tzinfo=tz, fold=1).utcoffset()
            assert (stretch.mark == "plain") == (said == again), t
            t += timedelta(minutes=30)

    def test_reaches_into_the_far_years_of_shifted_data(self) -> None:
        stretches = zone_stretches("America/New_York", datetime(2113, 1, 1), datetime(2210, 1, 1))
        assert sum(s.mark == "repeated" for s in stretches) == 97

    def test_an_unknown_zone_is_refused_in_words(self) -> None:
        with pytest.raises(NotUnderstood, match="Atlantis"):
            zone_stretches("Atlantis/City", datetime(2026, 1, 1), datetime(2026, 2, 1))
