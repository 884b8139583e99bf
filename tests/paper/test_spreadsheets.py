"""Spreadsheets: every cell a text or a number, none of them a formula."""

import zipfile
from datetime import date

import invented_review as told
import openpyxl
import pytest

from browline.paper import findings_sheet, look_back_sheet, sample_sheet, set_aside_sheet, write_xlsx
from browline.paper.sheets import FINDING_HEADINGS
from browline.services.review.sampling import AuditSample, Listed, Origin
from documents import report_from

HOSTILE = [
    "=1+1",
    "+cmd|' /C calc'!A0",
    "-2+3",
    "@SUM(1,1)",
    "\t=1+1",
    "\r=1+1",
    "\n=1+1",
    "  =1+1",
    '=HYPERLINK("http://example.org","x")',
    "＝1+1",
]


def cells(path):
    book = openpyxl.load_workbook(path)
    return {page.title: [list(row) for row in page.iter_rows()] for page in book.worksheets}


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_becomes_a_formula(text, tmp_path):
    rows = [{"row": 12, "reason": text, "sentence": "could not be read", text: text}]
    path = write_xlsx(
        [set_aside_sheet(rows), look_back_sheet(text, [(text, [1, 2])])], tmp_path / "list.xlsx"
    )
    for page in cells(path).values():
        for cell in (cell for row in page for cell in row):
            assert cell.data_type in ("s", "n")
            assert not str(cell.value or "").strip().startswith(("=", "+", "-", "@", "＝"))
    with zipfile.ZipFile(path) as parts:
        for name in parts.namelist():
            assert b"<f>" not in parts.read(name)
            assert b"<hyperlink " not in parts.read(name)


def test_the_text_itself_is_kept_behind_the_apostrophe(tmp_path):
    path = write_xlsx([set_aside_sheet([{"row": 1, "reason": "=1+1"}])], tmp_path / "list.xlsx")
    assert cells(path)["set aside"][1][1].value == "'=1+1"


def test_every_row_set_aside_is_listed_with_its_number_first(tmp_path):
    rows = [{"reason": "refused", "row": n, "ward": "Hazel", "value": "36,x"} for n in range(2, 502)]
    page = cells(write_xlsx([set_aside_sheet(rows)], tmp_path / "list.xlsx"))["set aside"]
    assert [c.value for c in page[0]] == ["row", "reason", "ward", "value"]
    assert [row[0].value for row in page[1:]] == list(range(2, 502))


def test_a_list_of_charts_says_what_to_look_for_and_which_import_a_row_is_in(tmp_path):
    origin = Origin(3, "CSV 7abdc1", date(2026, 7, 4), 1200)
    charts = (
        Listed(False, 3, 41, "2026-07-01 06:05", "Maple"),
        Listed(True, 3, 9, "2026-07-01 02:00", "Maple"),
    )
    sheet = sample_sheet(AuditSample(4, 60, charts, (origin,)))
    headings, *rows = next(iter(cells(write_xlsx([sheet], tmp_path / "s.xlsx")).values()))
    assert [h.value for h in headings[:-1]] == ["number", "list", "import", "row", "time", "ward"]
    assert headings[-1].value.endswith("value, time and site agree with the bedside record")
    said = "import 3: CSV 7abdc1, imported 2026-07-04, 1,200 rows taken"
    assert [[c.value for c in row] for row in rows] == [
        [1, "look at", said, 41, "2026-07-01 06:05", "Maple", ""],
        [2, "stand-in", said, 9, "2026-07-01 02:00", "Maple", ""],
    ]


def test_findings_are_listed_with_numbers_as_numbers(report, tmp_path):
    page = cells(write_xlsx([findings_sheet(report)], tmp_path / "findings.xlsx", created=told.MADE))[
        "findings"
    ]
    assert tuple(c.value for c in page[0]) == FINDING_HEADINGS
    assert len(page) == 1 + len(told.findings())
    first = dict(zip(FINDING_HEADINGS, page[1], strict=True))
    assert first["name"].value == "FS-03"
    assert first["effect"].value == -0.42
    assert first["effect"].data_type == "n"
    assert first["next step"].value == "Bring a spare, tag it and send it for a check."


def test_findings_about_people_stay_out_and_small_ones_are_withheld(tmp_path):
    person = told.finding(
        "technique-support", "person", "N-118", -0.4, 210, "N-118 reads low.", "Offer a scan."
    )
    small = told.finding("round-batch", "ward", "Elm", 0.7, 4, "Few readings at one minute.", "Ask.")
    report = report_from(told.result(), told.supplement(), [person, small], time=told.MADE)
    page = cells(write_xlsx([findings_sheet(report)], tmp_path / "findings.xlsx"))["findings"]
    assert len(page) == 2
    row = dict(zip(FINDING_HEADINGS, (c.value for c in page[1]), strict=True))
    assert (row["effect"], row["readings"]) == (None, "fewer than 10")


def test_a_list_too_long_for_one_sheet_goes_on_in_the_next(tmp_path, monkeypatch):
    monkeypatch.setattr("browline.paper.sheets.MOST_ROWS", 3)
    pages = cells(write_xlsx([look_back_sheet("FS-07", [("charts", range(1, 8))])], tmp_path / "list.xlsx"))
    assert [len(page) - 1 for page in pages.values()] == [3, 3, 1]
    assert pages["look back 3"][1][2].value == 7


def test_an_overlong_text_is_cut_and_what_is_no_number_left_empty(tmp_path):
    rows = [{"row": 1, "reason": "x" * 40_000, "value": float("nan")}]
    page = cells(write_xlsx([set_aside_sheet(rows)], tmp_path / "list.xlsx"))["set aside"]
    assert page[1][1].value.endswith("x …")
    assert page[1][2].value is None
