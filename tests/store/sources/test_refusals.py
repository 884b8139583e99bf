"""What cannot be read is refused in a sentence that quotes nothing of the file; damage is never half-read."""

import gzip
import io
import json
import zipfile
from pathlib import Path

import openpyxl
import pytest

from browline.errors import InputRefused
from browline.store.sources import open_file

PLANTED = "Ann Other 9434765919"


def zipped(name: str, text: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(name, text)
    return out.getvalue()


def workbook() -> bytes:
    out = io.BytesIO()
    made = openpyxl.Workbook()
    made.active.append(["Time", "Temperature", PLANTED])
    made.save(out)
    return out.getvalue()


# The first bytes of each format are from memory; they are the published signatures.
CASES = {
    "empty": (b"", "empty"),
    "blank": (b" \r\n \n", "empty"),
    "zeros": (bytes(4096), "empty"),
    "pdf": (b"%PDF-1.7\n" + PLANTED.encode(), "PDF"),
    "picture": (b"\x89PNG\r\n\x1a\n" + bytes(64), "picture"),
    "zip of a csv": (zipped("export.csv", PLANTED), "archive"),
    "half a zip": (zipped("export.csv", PLANTED)[:40], "damaged"),
    "half a workbook": (workbook()[:2000], "damaged"),
    "nonsense in a workbook": (zipped("xl/workbook.xml", "<nonsense"), "damaged"),
    "old workbook, cut off": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(200), "damaged"),
    # A locked XLSX is a compound file with a stream of this name (MS-OFFCRYPTO, from memory).
    "locked": (b"\xd0\xcf\x11\xe0" + bytes(500) + "EncryptedPackage".encode("utf-16-le"), "password"),
    "program": (bytes(range(256)) * 16, "not text"),
    "web page": (b"<html><table><tr><td>" + PLANTED.encode(), "web page"),
    "xml with a mark": (b"\xef\xbb\xbf<?xml version='1.0'?><Workbook>", "XML"),
    "other json": (json.dumps({"readings": [PLANTED]}).encode(), "JSON"),
    "half a bundle": (b'{"resourceType": "Bundle", "entry": [{"resource": {', "cut off"),
    "parquet, cut off": (b"PAR1" + bytes(100), "damaged"),
    "half a gzip": (gzip.compress(PLANTED.encode() * 100)[:30], "unpacked"),
    "gzipped workbook": (gzip.compress(workbook()), "gzipped"),
    "empty workbook": (zipped("xl/workbook.xml", "<workbook/>"), "damaged"),
}


@pytest.mark.parametrize("case", CASES)
def test_refused_in_words(case: str, tmp_path: Path):
    data, word = CASES[case]
    path = tmp_path / "export.csv"
    path.write_bytes(data)
    with pytest.raises(InputRefused, match=word) as refusal:
        open_file(path)
    assert refusal.value.came and refusal.value.wanted and refusal.value.do
    assert "Ann" not in str(refusal.value)


def test_a_workbook_of_empty_sheets_is_refused(tmp_path: Path):
    openpyxl.Workbook().save(tmp_path / "nothing.xlsx")
    with pytest.raises(InputRefused, match="empty"):
        open_file(tmp_path / "nothing.xlsx")


def test_a_file_that_is_not_there(tmp_path: Path):
    with pytest.raises(InputRefused, match="no such file"):
        open_file(tmp_path / "missing.csv")


def test_a_gzip_cut_off_in_its_middle_is_refused_in_words(tmp_path: Path):
    import random

    told = "time,value\n" + "".join(f"10:00,{random.random()}\n" for _ in range(20_000))
    path = tmp_path / "export.csv.gz"
    path.write_bytes(gzip.compress(told.encode())[:-5000])
    with pytest.raises(InputRefused, match="damaged"):
        open_file(path)


def test_a_row_that_never_ends_is_refused_before_memory_is_gone(written, con, monkeypatch):
    from browline.store.sources import text

    monkeypatch.setattr(text, "LONGEST_RECORD", 1000)
    monkeypatch.setattr(text, "BLOCK", 500)
    (table,) = written(b"time,value\n10:00,36.6\n11:00," + b"x" * 5000 + b"\n12:00,37.0\n").tables
    with pytest.raises(InputRefused, match="longer"):
        list(table.blocks(con))


def test_a_file_of_noise_is_refused_or_read_but_never_fails_otherwise(tmp_path: Path, con):
    import random

    rng = random.Random(7)
    path = tmp_path / "noise"
    for _ in range(150):
        path.write_bytes(
            rng.choice([b"", b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"\x1f\x8b", b"{", b"PAR1", b"\xff\xfe"])
            + rng.randbytes(rng.randrange(200))
        )
        try:
            for table in open_file(path).tables:
                list(table.blocks(con))
        except InputRefused:
            pass
