"""Opening a book: made where there is none, copied before it changes, refused where it is newer or keyless."""

import sqlite3
from contextlib import closing

import pytest

from browline.errors import InputRefused
from browline.store.book import open_book
from browline.store.keys import key_folder, read_key


def _records(book):
    return closing(sqlite3.connect(book.folder / "book.sqlite3"))


def test_opening_twice_is_the_same_book(book):
    assert open_book(book.folder) == book


def test_a_book_and_its_key_are_for_their_owner_only(book):
    assert (key_folder() / f"{book.identity}.key").stat().st_mode & 0o077 == 0
    assert book.readings.stat().st_mode & 0o077 == 0


def test_a_book_from_a_newer_version_is_refused_in_words(book):
    with _records(book) as records, records:
        records.execute(
            "INSERT INTO django_migrations(app, name, applied) VALUES ('store', '0999_future', '2030-01-01')"
        )
    with pytest.raises(InputRefused, match="newer browline"):
        open_book(book.folder)


def test_records_are_copied_before_they_are_migrated(book):
    with _records(book) as records, records:
        records.execute("DELETE FROM django_migrations WHERE app = 'sessions'")
        records.execute("DROP TABLE django_session")
    open_book(book.folder)
    copies = list(book.folder.glob("book-before-*.sqlite3"))
    assert len(copies) == 1
    with closing(sqlite3.connect(copies[0])) as copy:
        assert copy.execute("SELECT count(*) FROM store_setting").fetchone()[0] > 0


def test_without_its_key_a_book_says_where_to_put_it(book):
    (key_folder() / f"{book.identity}.key").unlink()
    with pytest.raises(InputRefused, match="not on this computer"):
        read_key(book.identity)


def test_a_folder_that_cannot_be_written_is_refused(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(InputRefused, match="cannot be made"):
        open_book(tmp_path / "file" / "book")


def test_the_pseudonym_in_sql_is_the_hmac_of_the_standard_library():
    # RFC 4231 test case 2 (key "Jefe") checks the library's HMAC-SHA256; the SQL is held against the library.
    import hmac

    from browline.store.keys import pseudonym, pseudonym_sql
    from browline.store.memory import working_memory

    said = hmac.digest(b"Jefe", b"what do ya want for nothing?", "sha256").hex()
    assert said == "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
    texts = ["P00441", "", "é 7", "x" * 200]
    for key in (b"k" * 32, b"short", bytes(range(64))):
        for text in texts:
            query = f"SELECT {pseudonym_sql(key, 'patient', '?::VARCHAR')}"
            assert working_memory().execute(query, [text]).fetchone()[0] == pseudonym(key, "patient", text)
