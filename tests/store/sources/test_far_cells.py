"""A cell far out in a workbook, and workbooks made to fill the memory: refused in words before room is made.

Limits of a sheet (XFD1048576): ECMA-376, as every spreadsheet program has them. Each file is opened in a process
of its own with 3 GB of address space, because the reader of cells would end the process.
"""

import subprocess
import sys
import zipfile
from datetime import datetime

import openpyxl
import pytest
from openpyxl.styles import PatternFill

OPEN = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
from pathlib import Path
from browline.errors import InputRefused
from browline.store.memory import working_memory
from browline.store.sources import open_file
try:
    table = open_file(Path(sys.argv[1])).tables[0]
    print("rows", sum(table.blocks(working_memory())))
except InputRefused as refusal:
    print("refused", refusal)
"""
ROWS = [
    ["Time", "Temp", "Ward"],
    [datetime(2026, 3, 7, 10, 0), 36.6, "Larch"],
    [datetime(2026, 3, 7, 11), 36.9, "Oak"],
]


def opened(path):
    """What became of the file: `rows N`, `refused ...`, or how the process ended."""
    done = subprocess.run(
        [sys.executable, "-c", OPEN, str(path)], capture_output=True, text=True, timeout=120, check=False
    )
    return done.stdout.strip() or f"ended {done.returncode}"


@pytest.fixture
def workbook(tmp_path):
    def write(place=None, value="x", style=None):
        book = openpyxl.Workbook()
        for row in ROWS:
            book.active.append(row)
        if place:
            book.active[place] = value
            if style:
                book.active[place].fill = style
        book.save(tmp_path / "obs.xlsx")
        return tmp_path / "obs.xlsx"

    return write


@pytest.mark.parametrize("place", ["XFD1048576", "AAA900000"])
def test_a_far_cell_is_refused_and_named(workbook, place):
    said = opened(workbook(place))
    assert said.startswith("refused In sheet 1") and place in said and "Delete that cell" in said


AS_SHE_DOES = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
from browline.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.parametrize("kind", [[], ["--as", "roster"]])
def test_the_terminal_refuses_it_too_where_it_looks_for_a_roster_first(workbook, tmp_path, monkeypatch, kind):
    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "keys"))
    command = ["import", str(workbook("XFD1048576")), "--book", str(tmp_path / "book"), *kind]
    done = subprocess.run(
        [sys.executable, "-c", AS_SHE_DOES, *command],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 3 and "XFD1048576" in done.stderr, done.stderr[-300:]


def test_a_far_cell_that_is_only_coloured_harms_nothing(workbook):
    assert opened(workbook("XFD1048576", None, PatternFill("solid", "FFFF00"))) == "rows 2"


def test_a_note_some_way_beside_the_table_harms_nothing(workbook):
    assert opened(workbook("AZ2000", "checked")) == "rows 3"


def test_a_long_sparse_table_is_taken(tmp_path):
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet()
    sheet.append([f"c{i}" for i in range(60)])
    for i in range(3000):
        sheet.append([i, *[None] * 58, 36.6])
    book.save(tmp_path / "wide.xlsx")
    assert opened(tmp_path / "wide.xlsx") == "rows 3000"


def test_cells_that_do_not_say_their_place_count_by_their_order(workbook, tmp_path):
    cell = '<c t="str"><v>x</v></c>'
    rows = f'<row r="1">{cell * 16_000}</row><row r="1048576">{cell}</row>'
    sheet = f"<worksheet><sheetData>{rows}</sheetData></worksheet>"
    said = opened(
        _with_part(workbook(), tmp_path / "unplaced.xlsx", "xl/worksheets/sheet1.xml", sheet.encode())
    )
    assert said.startswith("refused In sheet 1")


def test_a_part_that_packs_too_well_is_refused(workbook, tmp_path):
    path = _with_part(workbook(), tmp_path / "bomb.xlsx", "xl/sharedStrings.xml", b" " * (300 << 20))
    assert opened(path).startswith("refused The workbook unpacks to far more")


def test_a_far_cell_of_an_ods_workbook_is_refused(tmp_path):
    assert opened(_ods(tmp_path / "near.ods", 2)) == "rows 2"
    assert opened(_ods(tmp_path / "far.ods", 1_040_000)).startswith("refused In sheet 1")


def _with_part(path, to, name, content):
    """A copy of the workbook with one part replaced."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            if part != name:
                new.writestr(part, old.read(part))
        new.writestr(name, content)
    return to


def _ods(path, gap):
    """An ODS workbook of two columns: a heading, a row, then after `gap` rows and many columns one more cell."""

    def cell(word):
        return f'<table:table-cell office:value-type="string"><text:p>{word}</text:p></table:table-cell>'

    far = f'<table:table-cell table:number-columns-repeated="{gap // 64 + 1}"/>{cell("x")}'
    rows = (
        f"<table:table-row>{cell('Time')}{cell('Temp')}</table:table-row>"
        f"<table:table-row>{cell('2026-03-07 10:00')}{cell('36.6')}</table:table-row>"
        f'<table:table-row table:number-rows-repeated="{gap}"><table:table-cell/></table:table-row>'
        f"<table:table-row>{far}</table:table-row>"
    )
    spaces = "".join(
        f' xmlns:{n}="urn:oasis:names:tc:opendocument:xmlns:{u}:1.0"'
        for n, u in (("office", "office"), ("table", "table"), ("text", "text"))
    )
    table = f'<table:table table:name="A">{rows}</table:table>'
    body = f"<office:body><office:spreadsheet>{table}</office:spreadsheet></office:body>"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        made.writestr("content.xml", f"<office:document-content{spaces}>{body}</office:document-content>")
        made.writestr(
            "META-INF/manifest.xml",
            '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>',
        )
    return path
