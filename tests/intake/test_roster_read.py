"""Rosters read: days however they are headed, staff, sections, counts, codes. See roster_cases for the trade facts."""

from datetime import date, time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from browline.intake.roster import looks_like_roster, read_roster
from browline.intake.roster.codes import kind_by_hours, read_cell
from browline.intake.roster.dates import days_across
from browline.intake.roster.staff_heading import staff_heading
from browline.shifts import USUAL
from roster_cases import BRAM, DAYS, HANA, LIST, UNA, as_csv, grid

TODAY = date(2026, 3, 5)


def cells(rows):
    return [line.split(",") for line in rows.strip().split("\n")]


def by_person(read):
    told = {}
    for entry in read.entries:
        told.setdefault(entry.identifier or entry.name, {})[entry.day] = entry
    return told


def test_a_grid_gives_each_person_each_day():
    told = by_person(read_roster(grid(), TODAY))
    assert set(told) == {"00417", "00938", "01200", "VACANT"}
    for identifier, codes in (("00417", HANA), ("00938", BRAM), ("01200", UNA)):
        assert tuple(told[identifier][day].cell for day in DAYS) == codes


def test_the_row_number_is_the_files_own():
    told = by_person(read_roster(grid(), TODAY))
    assert told["00417"][DAYS[0]].row == 7 and told["01200"][DAYS[0]].row == 11


def test_the_ward_of_the_title_and_the_grade_column_are_told():
    entry = by_person(read_roster(grid(), TODAY, ["Maple"]))["00417"][DAYS[0]]
    assert (entry.ward, entry.role, entry.name) == ("Maple", "6", "Alderley, Hana")


def test_a_title_that_names_no_ward_may_stand_over_a_blank_row():
    _, *below = grid()
    for title in ("Off duty, March 2026", "Nursing"):
        told = by_person(read_roster([[title] + [""] * 17, [], *below], TODAY))
        assert told["00417"][DAYS[0]].cell == "LD" and told["00417"][DAYS[0]].ward == ""


@pytest.mark.parametrize(
    ("heads", "over"),
    [
        ([f"{d:%d/%m/%Y}" for d in DAYS], ""),
        ([f"{d:%m/%d/%Y}" for d in DAYS], ""),
        ([d.isoformat() for d in DAYS], ""),
        ([f"{d.isoformat()} 00:00:00" for d in DAYS], ""),
        ([f"{d:%a %d %b}" for d in DAYS], "2026"),
        ([f"{d:%d-%b-%y}" for d in DAYS], ""),
        ([f"{d.day}/{d.month}" for d in DAYS], "Roster 2026"),
        ([str(d.day) for d in DAYS], "March 2026"),
        ([f"{d:%a} {d.day}" for d in DAYS], "Mar 2026"),
        ([f"{d:%a}" for d in DAYS], "Week commencing 2 March 2026"),
        ([f"{d:%A}" for d in DAYS], "w/c 02/03/2026"),
        ([str(46083 + k) for k in range(14)], ""),
        ([f"{d:%a %d/%m}" for d in DAYS], ""),
    ],
)
def test_days_are_read_however_they_are_headed(heads, over):
    found = days_across(["Name", *heads], [[over]], TODAY)
    assert found == {k + 1: day for k, day in enumerate(DAYS)}


def test_month_and_year_turn_over():
    found = days_across(["", "30", "31", "1", "2"], [["Roster from 30 December 2026"]], TODAY)
    assert list(found.values()) == [
        date(2026, 12, 30),
        date(2026, 12, 31),
        date(2027, 1, 1),
        date(2027, 1, 2),
    ]


def test_columns_between_the_days_do_not_stop_them():
    heads = ["Name", "Mon 2", "Tue 3", "Hours", "Wed 4", "Thu 5", "Fri 6", "Sat 7", "Sun 8"]
    found = days_across(heads, [["March 2026"]], TODAY)
    assert 3 not in found and found[4] == date(2026, 3, 4)


@pytest.mark.parametrize(
    "row",
    [
        ["Early", "4", "5", "4", "3", "4"],
        ["Hana", "N", "LD", "E", "L"],
        ["", "Mon", "Tue", "Wed"],
        ["00417", "7.5", "7.5", "12", "12"],
    ],
)
def test_counts_codes_and_bare_weekdays_are_no_days(row):
    assert days_across(row, [["Ward Maple"]], TODAY) == {}


def test_two_blocks_of_weeks_below_one_another_are_both_read():
    first = [["Name", *[f"{d:%d/%m/%Y}" for d in DAYS[:7]]], ["Hana", *HANA[:7]]]
    second = [["Name", *[f"{d:%d/%m/%Y}" for d in DAYS[7:]]], ["Hana", *HANA[7:]]]
    told = by_person(read_roster([*first, [""], *second], TODAY))
    assert tuple(told["Hana"][day].cell for day in DAYS) == HANA


def test_a_second_row_without_a_name_goes_on_about_the_person_above():
    rows = [
        ["Name", "Ward", *[f"{d:%d/%m/%Y}" for d in DAYS[:3]]],
        ["Hana", "Maple", "E", "", ""],
        ["", "Oak", "", "L", ""],
    ]
    entries = [e for e in read_roster(rows, TODAY).entries if e.cell]
    assert [(e.name, e.ward, e.cell) for e in entries] == [("Hana", "Maple", "E"), ("Hana", "Oak", "L")]


def test_section_rows_name_the_ward_of_those_below():
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    rows = [["Name", *days], ["Maple"], ["Hana", "E", "", ""], ["Ward 5 West"], ["Bram", "N", "", ""]]
    entries = [e for e in read_roster(rows, TODAY).entries if e.cell]
    assert [(e.name, e.ward) for e in entries] == [("Hana", "Maple"), ("Bram", "5 West")]


def test_staff_columns_without_headings_are_told_by_their_cells():
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    rows = [["", "", "", *days], *[[f"0{k}417", "Hana A.", "RN", "E", "L", "N"] for k in range(5)]]
    entry = read_roster(rows, TODAY).entries[0]
    assert (entry.identifier, entry.name, entry.role) == ("00417", "Hana A.", "RN")


def test_a_surname_that_is_a_shift_is_no_count():
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    entries = read_roster(
        [["Name", *days], ["Day, Hana", "E", "N", ""], ["Day", "3", "4", "3"]], TODAY
    ).entries
    assert {e.name for e in entries} == {"Day, Hana"}


def test_a_number_behind_the_name_is_the_identifier():
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    entry = read_roster([["Name", *days], ["Hana Alderley (00417)", "E", "N", ""]], TODAY).entries[0]
    assert (entry.identifier, entry.name) == ("00417", "Hana Alderley")


def test_a_list_is_read_by_its_headings_and_its_dates_stay_within_some_weeks():
    read = read_roster(cells(LIST), TODAY)
    assert read.layout == "list"
    assert [(e.row, e.day.isoformat(), e.cell) for e in read.entries][:3] == [
        (2, "2026-03-01", "N"), (3, "2026-03-02", "OFF"), (4, "2026-03-02", "Special"),
    ]  # fmt: skip
    assert (read.entries[2].start, read.entries[2].end, read.entries[2].ward) == ("09:00", "17:00", "Oak")


def test_a_register_or_a_chart_is_no_roster():
    chart = cells("MRN,Obs time,Temp,Ward\n1,2026-03-07 10:00,36.6,Maple")
    people = cells("Staff no,Role,Ward,From,Until\n00417,RN,Maple,2020-01-01,")
    sessions = cells("person,time,ward,outcome\n00417,2026-03-07,Maple,attended")
    assert not any(looks_like_roster(rows, TODAY) for rows in (chart, people, sessions))
    assert looks_like_roster(grid(), TODAY) and looks_like_roster(cells(LIST), TODAY)
    assert as_csv(grid())


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("N", [("N", "night", "")]),
        (" n ", [("N", "night", "")]),
        ("N*", [("N", "night", "")]),
        ("E/L", [("E", "early", ""), ("L", "late", "")]),
        ("E+L", [("E", "early", ""), ("L", "late", "")]),
        ("A/L", [("A/L", "leave", "")]),
        ("N 5W", [("N", "night", "5W")]),
        ("N/5W", [("N", "night", "5W")]),
        ("LD (Maple)", [("LD", "long-day", "Maple")]),
        ("LD - maple", [("LD", "long-day", "Maple")]),
        ("–", [("-", "off", "")]),
        ("N/2", [("N/2", "", "")]),
        ("½N", [("1⁄2N", "", "")]),
        ("N (half)", [("N (HALF)", "", "")]),
        ("7.5", [("7.5", "", "")]),
        ("1900-0730", [("19:00-07:30", "night", "")]),
        ("07:00 – 19:30", [("07:00-19:30", "long-day", "")]),
        ("25:00-26:00", [("25:00-26:00", "", "")]),
        ("", []),
    ],
)
def test_codes(text, told):
    assert [(d.code, d.kind, d.ward) for d in read_cell(text, USUAL, {"5W"})] == told


def test_what_the_educator_settled_goes_before_taking_it_apart():
    codes = {**USUAL, "E/L": ("day", time(10), time(18)), "N*": ("night", time(21), time(8))}
    assert [d.kind for d in read_cell("E/L", codes)] == ["day"]
    assert read_cell("N*", codes)[0].start == time(21)


@pytest.mark.parametrize(
    ("start", "end", "kind"),
    [((7, 0), (15, 0), "early"), ((13, 0), (21, 0), "late"), ((8, 0), (16, 0), "day"), ((7, 0), (19, 30), "long-day"),
     ((19, 0), (7, 30), "night"), ((21, 0), (0, 0), "night")],
)  # fmt: skip
def test_the_kind_of_bare_hours(start, end, kind):
    assert kind_by_hours(time(*start), time(*end)) == kind


@pytest.mark.parametrize(
    ("heading", "what"),
    [("Staff No.", "identifier"), ("Payroll", "identifier"), ("Employee", "name"), ("Surname", "surname"),
     ("Job title", "role"), ("Home ward", "ward"), ("Contracted hours", ""), ("Total", ""), ("Shift code", "shift")],
)  # fmt: skip
def test_headings_beside_the_days(heading, what):
    assert staff_heading(heading) == what


PIECE = st.sampled_from(
    ["", "", "N", "LD", "Hana", "00417", "1", "2", "3", "31", "31 Feb 2026", "30/02/2026", "March 0000", "9999-12-31",
     "Mon", "Tue 2", "Week 1", "Maple", "Total", "46083", "2 Mar", "w/c 02/03/2026", "Staff no", "Name", "Shift",
     "Date"]
)  # fmt: skip
ROWS = st.lists(st.lists(st.one_of(PIECE, st.text(max_size=8)), max_size=8), max_size=10)


@settings(max_examples=300, deadline=None)
@given(rows=ROWS)
def test_whatever_stands_in_a_sheet_it_is_read_or_refused_in_words(rows):
    from browline.errors import InputRefused

    try:
        read = read_roster(rows, TODAY, ["Maple"])
    except InputRefused:
        return
    assert read is None or all(1 <= entry.row <= len(rows) for entry in read.entries)


@given(text=st.text(max_size=30))
def test_any_cell_is_a_turn_or_a_code_to_settle(text):
    duties = read_cell(text, USUAL, {"5W"})
    assert all(
        d.code and len(d.code) <= 20 and (d.kind == "" or d.start is None or d.start != d.end) for d in duties
    )


@pytest.mark.parametrize(
    ("heads", "over"),
    [
        (["31 Feb 2026", "1 Mar 2026", "2 Mar 2026"], ""),
        (["1", "2", "3"], "from 31 Feb 2026"),
        (["1 Mar 9999", "2 Mar 9999", "3 Mar 9999"], ""),
        (["1", "2", "3"], "March 0000"),
    ],
)
def test_days_that_are_none_are_no_days(heads, over):
    assert days_across(["Name", *heads], [[over]], TODAY) == {}
