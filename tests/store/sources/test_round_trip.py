"""Any table comes back cell by cell; and the quick way and the careful way agree on any text at all.

The oracle of the round trip is Python's csv writer; of the quick way, the careful way beside it.
"""

import csv
import io
import tempfile
from pathlib import Path

import duckdb
from hypothesis import given, settings
from hypothesis import strategies as st

from browline.store.sources import open_file, plain, text
from browline.store.sources.recognise import Bytes

CELL = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=8) | st.sampled_from(
    ["", " ", "36,6", "°C", '"', '""', "\n", "\r\n", "a;b", "2026-03-01 10:00", "'", "\\", "#", "NULL", "\t"]
)
CONNECTION = duckdb.connect()
WORDS = [["chart time", "body temperature", "ward name"]]
TABLES = st.lists(st.lists(CELL, min_size=3, max_size=3), min_size=1, max_size=12)
WRITTEN = st.sampled_from(
    [("utf-8", ",", "\n"), ("utf-8", ";", "\r\n"), ("utf-16", "\t", "\r\n"), ("utf-8-sig", "|", "\n")]
)


def read(path: Path) -> list[tuple[object, ...]]:
    found: list[tuple[object, ...]] = []
    con = CONNECTION.cursor()
    for _ in open_file(path).tables[0].blocks(con):
        found += con.execute("SELECT * FROM raw ORDER BY row").fetchall()
    return found


@settings(max_examples=150, deadline=None)
@given(TABLES, WRITTEN, st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]))
def test_any_table_comes_back_cell_by_cell(table, how, quoting):
    encoding, delimiter, newline = how
    out = io.StringIO(newline="")
    firm = ["2026-03-01 10:00", "36.6", "5 West"]
    csv.writer(out, delimiter=delimiter, lineterminator=newline, quoting=quoting).writerows(
        [*WORDS, firm, *table]
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "export.csv"
        path.write_bytes(out.getvalue().encode(encoding))
        found = read(path)
    wanted = [
        (n, *(c or None for c in cells), None) for n, cells in enumerate([firm, *table], 2) if any(cells)
    ]
    assert found == wanted


LINES = st.lists(st.text(st.sampled_from('ab1 ,"\r\n;\\\t'), max_size=14), max_size=10)


@settings(max_examples=200, deadline=None)
@given(LINES, st.sampled_from(["\n", "\r\n", "\r"]))
def test_the_quick_way_agrees_with_the_careful_one(lines, newline):
    told = newline.join(["chart time,temperature,ward", "2026-03-01 10:00,36.6,5W", *lines])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "export.csv"
        path.write_text(told, encoding="utf-8", newline="")
        quick = read(path)
        kept, plain.piece = plain.piece, lambda *_: None  # type: ignore[assignment]
        try:
            careful = read(path)
        finally:
            plain.piece = kept
    assert quick == careful


@settings(max_examples=100, deadline=None)
@given(LINES)
def test_every_line_of_a_file_is_accounted_for(lines):
    """No character but delimiters, quotation marks and line ends disappears, whatever the file."""
    told = "\n".join(["chart time,temperature,ward", "2026-03-01 10:00,36.6,5W", *lines])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "export.csv"
        path.write_text(told, encoding="utf-8", newline="")
        found = read(path)
        layout = text.lay_out(path.read_bytes())
        assert Bytes(path, False, lambda *_: None).open().read() == told.encode()
    kept = "".join(c or "" for row in found for c in row[1:-1])
    below = told.encode()[layout.offset :].decode()
    for letter in "ab1":
        assert kept.count(letter) == below.count(letter)
