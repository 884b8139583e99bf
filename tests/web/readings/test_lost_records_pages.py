"""Pages of a book whose records went while they were open; files that no import names, said where files come in."""

import pytest
from bringing import LARCH, text
from django.db import connections

STRAY = "1 file in this book&#x27;s folder of readings belongs to no import."


@pytest.mark.parametrize("lost", ["removed", "emptied"])
def test_pages_open_over_lost_records_refuse_in_words_and_make_none(book, ines, lost):
    (book.readings / "0f.parquet").write_bytes(b"readings")
    connections["default"].close()
    records = book.folder / "book.sqlite3"
    records.unlink() if lost == "removed" else records.write_bytes(b"")
    before = sorted(path.name for path in book.folder.iterdir())
    for address in ("/", "/readings/", "/here/"):
        answer = ines.get(address)
        assert answer.status_code == 503, address
        assert "holds readings, but its records" in text(answer)
        assert "Put your latest copy of book.sqlite3 back" in text(answer)
    assert sorted(path.name for path in book.folder.iterdir()) == before
    assert lost == "removed" or records.stat().st_size == 0


def test_files_that_no_import_names_are_told_where_files_come_in(book, ines):
    assert "belongs to no import" not in text(ines.get("/readings/"))
    (book.readings / "0f.parquet").write_bytes(b"readings")
    assert STRAY in text(ines.get("/readings/"))


def test_the_receipts_page_keeps_what_was_counted_when_the_file_came(book, ines, export_of_larch):
    from browline.services.imports.run import import_file

    (book.readings / "0f.parquet").write_bytes(b"readings")
    (number,) = import_file(book, export_of_larch).imports
    assert STRAY in text(ines.get(f"/readings/imports/{number}/"))


def test_a_file_that_brought_nothing_new_says_what_lies_there_too(book, ines, export_of_larch):
    from browline.cli.job_handlers import take
    from browline.store.models import Job

    take(book, lambda *_: None, path=str(export_of_larch))
    (book.readings / "0f.parquet").write_bytes(b"readings")
    result = take(book, lambda *_: None, path=str(export_of_larch))
    job = Job.objects.create(verb="import", state="done", result=result)
    page = text(ines.get(f"/under-way/{job.pk}/"))
    assert "was here already" in page and STRAY in page


@pytest.fixture
def export_of_larch(tmp_path):
    path = tmp_path / "larch.csv"
    path.write_bytes(LARCH)
    return path
