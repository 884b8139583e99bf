"""Planted identifiers are nowhere after an import: book, temporary folder, logs, job rows; nor after a kill."""

import os
import signal
import subprocess
import sys
import tempfile
import time

from charts import entry
from openpyxl import Workbook

from browline.services.imports.run import import_file
from browline.services.imports.set_aside import set_aside_rows

MRN, STAY, NAME, BIRTH = "MRN7734219", "VIS8841207", "Thessaly Quandry", "1951-11-23"
PLANTED = (MRN, STAY, NAME, "Quandry", BIRTH, "7734219", "8841207", "loves marmalade")
HEADING = "mrn,patient name,dob,encounter,time,temp,site,ward,nurse,comments,free text"


def _rows():
    yield HEADING
    for i in range(400):
        clock = f"2026-03-{i % 27 + 1:02d} {i % 24:02d}:{i % 60:02d}"
        value = ("36.6", f"36.7 {NAME}", "refused", MRN, "7734219", "")[i % 6]
        yield f"{MRN},{NAME},{BIRTH},{STAY},{clock},{value},Oral,5 West,00417,{NAME} was asleep,loves marmalade"
    yield f"{MRN},{NAME},{BIRTH},{STAY},{MRN},36.6,{NAME},{NAME},00417,,"
    yield f"{MRN},{NAME},{BIRTH},{STAY},2026-03-01 10:00,36.6,Oral,5 West,00417,,,{NAME},{MRN},extra"


def _leaks(*folders):
    """Files under the folders that hold a planted identifier, plain or as UTF-16."""
    found = []
    for folder in folders:
        for path in folder.rglob("*"):
            if path.is_file():
                content = path.read_bytes()
                for word in PLANTED:
                    if word.encode() in content or word.encode("utf-16-le") in content:
                        found.append((path.name, word))
    return found


def test_nothing_planted_is_stored(book, tmp_path, monkeypatch):
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(temporary))
    path = tmp_path / f"export {NAME} {MRN}.csv"
    path.write_text("\n".join(_rows()))
    made = import_file(book, path)
    assert entry(made)["taken"] > 60
    assert _leaks(book.folder, temporary) == []
    shown = repr([set_aside_rows(book, i) for i in made.imports])
    assert not any(word in shown for word in PLANTED)


def test_nothing_planted_in_a_workbook_is_stored(book, tmp_path):
    work = Workbook()
    sheet = work.active
    sheet.title = NAME
    for row in _rows():
        sheet.append(row.split(",")[:11])
    work.properties.creator = NAME
    path = tmp_path / "export.xlsx"
    work.save(path)
    import_file(book, path)
    assert _leaks(book.folder) == []


def test_nothing_planted_is_left_after_a_kill(book, tmp_path):
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    path = tmp_path / "export.csv"
    body = list(_rows())
    path.write_text("\n".join([body[0], *(body[1:] * 300)]))
    for moment in (0.4, 0.7, 1.0, 1.4):
        process = subprocess.Popen(
            [sys.executable, "-m", "browline.cli.main", "import", str(path), "--book", str(book.folder)],
            env={**os.environ, "TMPDIR": str(temporary)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        time.sleep(moment)
        process.send_signal(signal.SIGKILL)
        process.wait()
        assert _leaks(book.folder, temporary) == []


def test_pseudonyms_are_the_same_in_every_export_and_need_the_key(book):
    from browline.store.keys import pseudonym, read_key

    key = read_key(book.identity)
    assert pseudonym(key, "patient", MRN) == pseudonym(key, "patient", f" {MRN} ")
    assert pseudonym(key, "patient", MRN) != pseudonym(key, "stay", MRN)
    assert pseudonym(b"another key", "patient", MRN) != pseudonym(key, "patient", MRN)
    assert not any(key in p.read_bytes() for p in book.folder.rglob("*") if p.is_file())
