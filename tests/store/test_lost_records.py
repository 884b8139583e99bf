"""Readings whose records are lost, emptied or older: nothing is made, changed or deleted, and it is said."""

import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from browline.cli.main import main
from browline.errors import InputRefused
from browline.services.imports.run import import_file
from browline.store.book import open_book

HEADING = "stay,time,temp,site,ward"
MONDAY = f"""{HEADING}
V1,2026-03-02 06:00,36.6,oral,Larch
V2,2026-03-02 06:10,37.1,oral,Larch
V3,2026-03-02 07:00,LO,oral,Larch
"""
TUESDAY = f"{HEADING}\nV1,2026-03-03 06:00,36.9,oral,Larch\n"
WEDNESDAY = f"{HEADING}\nV1,2026-03-04 06:00,37.0,oral,Larch\n"
LOST = "holds readings, but its records"


@pytest.fixture
def filled(book, export):
    """A book with one import, closed."""
    import_file(book, export(MONDAY, "monday.csv"))
    close()
    return book


def close():
    """Close the records, so that what the log holds stands in the file itself."""
    from django.db import connections

    connections["default"].close()


def contents(folder):
    """Every file and folder below it with what it holds."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }


def remove(records):
    records.unlink(missing_ok=True)


def empty(records):
    records.write_bytes(b"")


def without_tables(records):
    records.unlink(missing_ok=True)
    with closing(sqlite3.connect(records)) as made:
        made.execute("PRAGMA journal_mode=WAL")
        made.execute("PRAGMA user_version=1")
        made.commit()
    assert records.stat().st_size


def unreadable(records):
    records.write_bytes(b"not the records of a book" * 400)


LOSSES = pytest.mark.parametrize(
    ("lose", "said"),
    [
        (remove, "are missing"),
        (empty, "are empty"),
        (without_tables, "hold none of the tables"),
        (unreadable, "cannot be read"),
    ],
)


@LOSSES
def test_a_book_that_lost_its_records_is_refused_and_nothing_is_made_or_changed(filled, lose, said):
    lose(filled.folder / "book.sqlite3")
    before = contents(filled.folder)
    with pytest.raises(InputRefused, match=LOST) as refusal:
        open_book(filled.folder)
    assert said in str(refusal.value)
    assert "latest copy of book.sqlite3" in refusal.value.do
    assert contents(filled.folder) == before


@LOSSES
def test_no_command_begins_a_new_book_over_the_readings(
    filled, export, lose, said, capsys, tmp_path, monkeypatch
):
    lose(filled.folder / "book.sqlite3")
    before, file = contents(filled.folder), export(TUESDAY, "tuesday.csv")
    question = export('{"readings": []}', "question.json")
    monkeypatch.setenv("BROWLINE_BOOK", str(filled.folder))
    for asked in (
        ["import", str(file)],
        ["import", str(file), "--show-map"],
        ["review"],
        ["sample"],
        ["ward-sheet", "Larch", "--pdf", str(tmp_path / "x.pdf")],
        ["plan"],
        ["coverage"],
        ["hand-out", "poster", "--pdf", str(tmp_path / "x.pdf")],
        ["instruments"],
        ["recheck", str(question)],
        ["open", "--no-browser"],
        ["demo", "--no-serve", "--book", str(filled.folder)],
    ):
        assert main(asked) == 3, asked
        assert LOST in capsys.readouterr().err, asked
    assert contents(filled.folder) == before


def test_with_the_records_put_back_everything_counts_again(filled, export):
    kept = (filled.folder / "book.sqlite3").read_bytes()
    remove(filled.folder / "book.sqlite3")
    with pytest.raises(InputRefused, match=LOST):
        open_book(filled.folder)
    (filled.folder / "book.sqlite3").write_bytes(kept)
    again = open_book(filled.folder)
    made = import_file(again, export(MONDAY, "monday.csv"))
    assert made.files[0]["already_here"] == 2
    assert made.strays == ()


def test_records_of_yesterday_delete_no_reading_and_what_they_do_not_name_is_counted(filled, export):
    records = filled.folder / "book.sqlite3"
    yesterday = records.read_bytes()
    import_file(open_book(filled.folder), export(TUESDAY, "tuesday.csv"))
    close()
    before = {path.name for path in filled.readings.iterdir()}
    records.write_bytes(yesterday)
    book = open_book(filled.folder)
    made = import_file(book, export(WEDNESDAY, "wednesday.csv"))
    assert before < {path.name for path in filled.readings.iterdir()}
    strays = made.as_json()["strays"]
    assert strays["count"] == 1
    assert strays["files"] == list(made.strays) and set(strays["files"]) < before
    assert strays["sentence"].startswith("1 file in this book's folder of readings belongs to no import.")
    assert strays["sentence"] in made.notes
    assert import_file(book, export(TUESDAY, "tuesday.csv")).files[0]["taken"] == 1


def test_a_copy_made_before_an_update_and_a_log_of_other_records_are_named(filled):
    remove(filled.folder / "book.sqlite3")
    (filled.folder / "book-before-31.sqlite3").write_bytes(b"a copy")
    (filled.folder / "book.sqlite3-wal").write_bytes(b"of the records that are gone")
    with pytest.raises(InputRefused) as refusal:
        open_book(filled.folder)
    assert refusal.value.do.startswith("Move book.sqlite3-wal to another folder first.")
    assert "book-before-31.sqlite3" in refusal.value.do


@pytest.mark.parametrize("lose", [empty, without_tables])
def test_where_no_reading_lies_a_book_begins(book, lose):
    close()
    for end in ("", "-wal", "-shm"):
        (book.folder / f"book.sqlite3{end}").unlink(missing_ok=True)
    lose(book.folder / "book.sqlite3")
    assert open_book(book.folder).identity != book.identity


KILLED = (
    "import os, pathlib, sys\n"
    "from browline.settings.launch import set_up_django\n"
    "set_up_django()\n"
    "from browline.store.book import open_book\n"
    "book = open_book(pathlib.Path(sys.argv[1]))\n"
    "from browline.services.imports.run import import_file\n"
    "from browline.store.importing import commit\n"
    "commit._record = lambda *_: os._exit(9)\n"
    "import_file(book, pathlib.Path(sys.argv[2]))\n"
)


def test_a_first_import_killed_after_its_file_was_finished_goes_on_and_the_file_is_counted(
    tmp_path, export, monkeypatch
):
    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "keys"))
    folder, file = tmp_path / "new", export(MONDAY, "monday.csv")
    assert subprocess.run([sys.executable, "-c", KILLED, str(folder), str(file)]).returncode == 9
    left = {path.name for path in (folder / "readings").iterdir()}
    assert len(left) == 2, "the readings and what was set aside"
    book = open_book(folder)
    made = import_file(book, file)
    assert made.files[0]["taken"] == 2
    assert set(made.strays) == left
    assert made.as_json()["strays"]["sentence"].startswith(
        "2 files in this book's folder of readings belong to no import."
    )
    assert left < {path.name for path in book.readings.iterdir()}


def test_what_an_import_wrote_and_does_not_name_is_no_stray(filled, export):
    book = open_book(filled.folder)
    before = {path.name for path in book.readings.iterdir()}
    assert import_file(book, export(MONDAY, "monday.csv")).imports == ()
    assert {path.name for path in book.readings.iterdir()} == before


def test_the_terminal_and_the_json_say_it_once_for_several_files(filled, export, capsys, tmp_path):
    import json

    (filled.readings / "0f.parquet").write_bytes(b"finished, and named by nothing")
    target = tmp_path / "receipt.json"
    files = [str(export(TUESDAY, "tuesday.csv")), str(export(WEDNESDAY, "wednesday.csv"))]
    assert main(["import", *files, "--book", str(filled.folder), "--json", str(target)]) == 0
    assert (
        capsys.readouterr().out.count("1 file in this book's folder of readings belongs to no import.") == 1
    )
    assert json.loads(target.read_text())["strays"]["files"] == ["0f.parquet"]


def test_records_whose_readings_are_gone_are_refused_in_words_and_nothing_is_changed(filled, export, capsys):
    moved = filled.folder / "elsewhere"
    filled.readings.rename(moved)
    folder = str(filled.folder)
    before = (filled.folder / "book.sqlite3").read_bytes()
    for command in (["review"], ["import", str(export(TUESDAY, "tuesday.csv"))]):
        assert main([*command, "--book", folder]) == 3
        said = capsys.readouterr().err
        assert "1 file of readings that its records name is missing" in said and "Put it back" in said
    close()
    assert (filled.folder / "book.sqlite3").read_bytes() == before
    filled.readings.rmdir()
    moved.rename(filled.readings)
    assert main(["review", "--book", folder]) == 0
