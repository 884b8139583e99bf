"""One table written every way an export may write it: the same cells and row numbers come back.

The oracle is the table itself; Python's csv module writes it. That Excel shows a record with a line end in
a cell as one row is common practice, no source.
"""

import codecs
import csv
import io
import itertools

import pytest

from browline.store.sources import plain, text

TABLE = [
    ["time", "value", "unit", "site", "ward"],
    ["01.03.2026 10:05", "36,6", "°C", "temporal", "5 West"],
    ["01.03.2026 10:07", "37.1", "", "oral", "Süd; old"],
    ["01.03.2026 24:00", "98.6", "°F", " ta ", "A|B, C"],
    ["02.03.2026 00:10", "LO", "", "", 'the "new" ward'],
]
WANTED = [(n, *(c or None for c in cells), None) for n, cells in enumerate(TABLE[1:], 2)]

ENCODINGS = {
    "utf-8": b"",
    "utf-8-sig": b"",
    "cp1252": b"",
    "latin-1": b"",
    "utf-16-le": codecs.BOM_UTF16_LE,
    "utf-16-be": codecs.BOM_UTF16_BE,
    "utf-16-le bare": b"",
    "utf-16-be bare": b"",
}
DELIMITERS = (",", ";", "\t", "|", "^", "\x1f")
NEWLINES = ("\n", "\r\n", "\r")
QUOTING = (csv.QUOTE_MINIMAL, csv.QUOTE_ALL)


def as_text(rows: list[list[str]], **how: object) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, **how).writerows(rows)  # type: ignore[arg-type]
    return out.getvalue()


@pytest.mark.parametrize("quick", [True, False], ids=["quick", "careful"])
@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_way_of_writing_a_table_reads_the_same(encoding, quick, written, rows, monkeypatch):
    if not quick:
        monkeypatch.setattr(plain, "piece", lambda *_: None)
    for delimiter, newline, quoting in itertools.product(DELIMITERS, NEWLINES, QUOTING):
        told = as_text(TABLE, delimiter=delimiter, lineterminator=newline, quoting=quoting)
        (table,) = written(ENCODINGS[encoding] + told.encode(encoding.split()[0])).tables
        case = (encoding, delimiter, newline, quoting)
        assert table.headings == tuple(TABLE[0]), case
        assert rows(table) == WANTED, case


def test_well_formed_text_goes_the_quick_way(written, rows, monkeypatch):
    monkeypatch.setattr(text, "_careful", lambda *_: pytest.fail("went the careful way"))
    for newline, quoting in itertools.product(("\n", "\r\n"), QUOTING):
        (table,) = written(as_text(TABLE, lineterminator=newline, quoting=quoting).encode("utf-16")).tables
        assert rows(table) == WANTED


@pytest.mark.parametrize("block", [23, 64, 150])
def test_the_size_of_a_block_changes_nothing(block, written, rows, monkeypatch):
    monkeypatch.setattr(text, "BLOCK", block)
    monkeypatch.setattr(text, "PART", block)
    for newline, quoting in itertools.product(NEWLINES, QUOTING):
        for encoding in ("utf-8", "cp1252", "utf-16"):
            (table,) = written(
                as_text(TABLE, lineterminator=newline, quoting=quoting).encode(encoding)
            ).tables
            assert rows(table) == WANTED


def test_without_in_memory_files_a_plain_file_is_read_by_its_path(written, rows, monkeypatch):
    monkeypatch.setattr(plain, "IN_MEMORY", False)
    monkeypatch.setattr(text, "_careful", lambda *_: pytest.fail("went the careful way"))
    (table,) = written(codecs.BOM_UTF8 + as_text([["Temperatures", ""], *TABLE]).encode()).tables
    assert [r[0] for r in rows(table)] == [3, 4, 5, 6]


def test_packed_text_is_unpacked_on_the_way(written, rows):
    import gzip

    source = written(gzip.compress(as_text(TABLE).encode()), "export.csv.gz")
    assert rows(source.tables[0]) == WANTED


def test_lines_pasted_from_a_utf8_file_into_a_windows_one_keep_their_letters(written, rows):
    (table,) = written(b"time;value;ward\n10:00;37.1;S\xfcd\n11:00;36.9;S\xc3\xbcd\n").tables
    assert [r[3] for r in rows(table)] == ["Süd", "Süd"]
    assert any("Windows-1252" in note for note in table.notes)


def test_a_degree_sign_far_behind_the_beginning_is_still_seen(written, rows, monkeypatch):
    told = b"time,value\n" + b"10:00,36.6\n" * 200_000 + b"11:00,36.9 \xb0C\n"
    assert rows(written(told).tables[0])[-1] == (200_002, "11:00", "36.9 °C", None)
