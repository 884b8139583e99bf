"""Workbooks as wards keep them, made here by two independent writers (openpyxl, XlsxWriter) and read back."""

import datetime as dt
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from browline.store.sources import open_file

MOMENT = dt.datetime(2026, 3, 1, 10, 30)


@pytest.fixture
def book(tmp_path: Path):
    """A workbook of openpyxl filled by a function, opened."""

    def make(fill, name="ward.xlsx"):
        made = openpyxl.Workbook()
        fill(made)
        made.save(tmp_path / name)
        return open_file(tmp_path / name)

    return make


def test_titles_merged_double_headings_and_row_numbers(book, rows):
    def fill(made):
        sheet = made.active
        sheet["B2"] = "Ward temperatures"
        sheet.merge_cells("B2:E2")
        for at, cell in {"B4": "Time", "C4": "Temperature", "E4": "Ward", "C5": "(C)", "D5": "(F)"}.items():
            sheet[at] = cell
        sheet.merge_cells("C4:D4")
        sheet.merge_cells("B4:B5")
        for row in (6, 7, 9):
            sheet.cell(row, 2, MOMENT)
            sheet.cell(row, 3, 36.6)
        sheet["E6"] = "5 West"
        sheet.merge_cells("E6:E7")

    (table,) = book(fill).tables
    assert table.headings == ("Time", "Temperature (C)", "Temperature (F)", "Ward")
    assert rows(table) == [
        (6, "2026-03-01 10:30:00", "36.6", None, "5 West", None),
        (7, "2026-03-01 10:30:00", "36.6", None, "5 West", None),
        (9, "2026-03-01 10:30:00", "36.6", None, None, None),
    ]
    assert any("merged" in note for note in table.notes)


@pytest.mark.parametrize("system", [1900, 1904])
def test_typed_dates_are_right_in_both_date_systems(system, tmp_path, rows):
    path = tmp_path / "dates.xlsx"
    with xlsxwriter.Workbook(path, {"date_1904": system == 1904}) as made:
        stamp, day = (made.add_format({"num_format": f}) for f in ("dd/mm/yyyy hh:mm", "dd/mm/yyyy"))
        clock = made.add_format({"num_format": "hh:mm"})
        sheet = made.add_worksheet()
        sheet.write_row(0, 0, ["Time", "Day", "Clock", "Value"])
        for row in (1, 2):
            sheet.write_datetime(row, 0, MOMENT if row == 1 else dt.datetime(2026, 3, 2), stamp)
            sheet.write_datetime(row, 1, MOMENT.replace(hour=0, minute=0), day)
            sheet.write_datetime(row, 2, dt.time(10, 30), clock)
            sheet.write(row, 3, 46082.4375)
    (table,) = open_file(path).tables
    assert table.dates == system
    assert rows(table) == [
        (2, "2026-03-01 10:30:00", "2026-03-01", "10:30:00", "46082.4375", None),
        (3, "2026-03-02 00:00:00", "2026-03-01", "10:30:00", "46082.4375", None),
    ]


def test_cells_as_the_shortest_text(book, rows):
    cells = [36.6, 36.6 + 0.1 + 0.2, 12345, 12345.0, "0012", True, "✓", " ta ", "01.03.2026 10:05", "LO"]

    def fill(made):
        made.active.append(["Time", "Temperature"])
        for cell in cells:
            made.active.append([MOMENT, cell])

    found = [r[2] for r in rows(book(fill).tables[0])]
    assert found == ["36.6", "36.9", "12345", "12345", "0012", "TRUE", "✓", " ta ", "01.03.2026 10:05", "LO"]


def test_errors_of_the_spreadsheet_are_kept_as_text(tmp_path, rows):
    path = tmp_path / "errors.xlsx"
    with xlsxwriter.Workbook(path) as made:
        sheet = made.add_worksheet()
        sheet.write_row(1, 1, ["Time", "Temperature"])
        for row, error in enumerate(("#N/A", "#DIV/0!", "#REF!"), 2):
            sheet.write(row, 1, "01.03.2026 10:05")
            sheet.write_formula(row, 2, "=A1", None, error)
        sheet.write_row(5, 1, ["01.03.2026 10:06", 36.6])
    assert [r[2] for r in rows(open_file(path).tables[0])] == ["#N/A", "#DIV/0!", "#REF!", "36.6"]


def test_hidden_rows_and_sheets_are_read_and_counted_and_empty_sheets_skipped(book, rows):
    def fill(made):
        sheet = made.active
        sheet.title = "Ann Other 1234567"
        made.create_sheet("nothing here")
        kept = made.create_sheet("register")
        kept.sheet_state = "hidden"
        for each in (sheet, kept):
            each.append(["Time", "Temperature"])
            for _ in range(4):
                each.append([MOMENT, 36.6])
        sheet.row_dimensions[3].hidden = sheet.row_dimensions[4].hidden = True

    first, second = book(fill).tables
    assert (first.label, second.label) == ("sheet 1", "sheet 3")
    assert "Hidden rows, read like the others: 2." in first.notes
    assert "Sheet 3 is hidden; it was read." in second.notes
    assert [r[0] for r in rows(first)] == [r[0] for r in rows(second)] == [2, 3, 4, 5]
    assert "Ann" not in repr(first)


def test_a_sheet_longer_than_one_block(tmp_path, rows, monkeypatch):
    from browline.store.sources import sheets

    monkeypatch.setattr(sheets, "BATCH", 7)
    path = tmp_path / "long.xlsx"
    with xlsxwriter.Workbook(path) as made:
        sheet = made.add_worksheet()
        sheet.write_row(0, 0, ["Time", "Temperature"])
        for row in range(1, 51):
            sheet.write_row(row, 0, ["01.03.2026 10:05", 36 + row / 10])
    told: list[tuple[int, int]] = []
    (table,) = open_file(path, progress=lambda done, total: told.append((done, total))).tables
    assert [r[0] for r in rows(table)] == list(range(2, 52))
    assert told[-1][0] == 51


def test_a_workbook_by_any_name_is_known_by_its_content(book, rows):
    def fill(made):
        made.active.append(["Time", "Temperature"])
        made.active.append([MOMENT, 36.6])

    assert rows(book(fill, "export.csv.xlsx").tables[0]) == [(2, "2026-03-01 10:30:00", "36.6", None)]
    made = openpyxl.Workbook()
    fill(made)
    assert made.active is not None
    source = book(fill, "renamed.xlsx")
    renamed = source.path.rename(source.path.with_suffix(".csv"))
    assert open_file(renamed).format == "xlsx"
