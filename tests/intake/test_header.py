"""Trap 13: where the table begins and ends in a sheet."""

import pytest

from browline.errors import InputRefused
from browline.intake import find_header, is_totals_row

HEAD = ["Time", "Temp", "Site", "Nurse"]
ROW_1 = ["2026-03-07 10:00", "36.6", "Oral", "00417"]
ROW_2 = ["2026-03-07 11:00", "37.1", "TA", "00938"]
BLANK = ["", "", "", ""]


def test_a_plain_table() -> None:
    header = find_header([HEAD, ROW_1, ROW_2])
    assert (header.titles, header.rows, header.first, header.last, header.headings) == (
        0,
        (1,),
        2,
        3,
        tuple(HEAD),
    )


def test_titles_and_blank_rows_above() -> None:
    grid = [
        ["Ward temperatures, March", "", "", ""],
        ["Exported 07/03/2026 12:00", "", "", ""],
        BLANK,
        HEAD,
        ROW_1,
    ]
    header = find_header(grid)
    assert (header.titles, header.rows, header.first, header.headings) == (3, (4,), 5, tuple(HEAD))


def test_a_filter_line_with_two_cells_is_a_title_too() -> None:
    wide = ["Time", "Temp", "Site", "Nurse", "Ward", "Age"]
    grid = [["From:", "01/03/2026", "", "", "", ""], wide, [*ROW_1, "5 West", "45"]]
    assert find_header(grid).rows == (2,)


def test_two_heading_rows_with_merged_cells() -> None:
    upper = ["Taken", "", "Temperature", "", "Staff"]
    lower = ["Date", "Time", "Value", "Site", "ID"]
    header = find_header([upper, lower, ["07/03/2026", "10:00", "36.6", "Oral", "00417"]])
    assert header.rows == (1, 2) and header.first == 3
    assert header.headings == (
        "Taken Date",
        "Taken Time",
        "Temperature Value",
        "Temperature Site",
        "Staff ID",
    )


def test_a_second_row_of_units() -> None:
    header = find_header([HEAD, ["", "(°C)", "", ""], ROW_1])
    assert header.rows == (1, 2) and header.headings == ("Time", "Temp (°C)", "Site", "Nurse")


def test_no_heading_row_at_all() -> None:
    header = find_header([ROW_1, ROW_2])
    assert (header.rows, header.first, header.last) == ((), 1, 2)
    assert header.headings == ("column 1", "column 2", "column 3", "column 4")


def test_a_first_person_is_not_taken_for_a_second_heading_row() -> None:
    header = find_header([["Staff No", "Role", "Ward"], ["A17", "RN", "5 West"], ["B22", "HCA", "ICU"]])
    assert (header.rows, header.first) == ((1,), 2)


def test_totals_and_footers_below() -> None:
    grid = [HEAD, ROW_1, ROW_2, BLANK, ["Total", "2", "", ""], ["Printed by the system", "", "", ""]]
    assert find_header(grid).last == 3
    assert is_totals_row(["Mean", "36.9", "", ""]) and not is_totals_row(ROW_1)


def test_headings_that_come_twice_or_are_blank_are_told_apart() -> None:
    header = find_header(
        [["Time", "Temp", "Time", ""], ["2026-03-07 10:00", "36.6", "2026-03-07 10:05", "x"]]
    )
    assert header.headings == ("Time", "Temp", "Time (2)", "column 4")


def test_a_heading_broken_over_lines_is_one_line() -> None:
    assert find_header([["Date /\nTime", "Temp"], ["2026-03-07 10:00", "36.6"]]).headings[0] == "Date / Time"


def test_headings_we_do_not_know_are_still_headings() -> None:
    header = find_header([["alpha", "beta", "gamma"], ["1", "36.6", "x"], ["2", "36.7", "y"]])
    assert header.rows == (1,)


def test_a_heading_alone_has_no_data() -> None:
    header = find_header([HEAD])
    assert header.rows == (1,) and header.first == 2 and header.last == 1


@pytest.mark.parametrize("grid", [[], [[]], [["", " "], [""]]])
def test_an_empty_sheet_is_refused(grid) -> None:
    with pytest.raises(InputRefused, match="empty"):
        find_header(grid)


def test_ragged_rows_are_no_trouble() -> None:
    header = find_header([["Title"], HEAD, ROW_1[:3], [*ROW_2, "", ""]])
    assert header.rows == (2,) and header.headings == tuple(HEAD)
