"""A small invented hospital in a book of its own, imported and reviewed once for all tests that only look."""

import os
import shutil

import pytest


@pytest.fixture(scope="session")
def hospital_folder(tmp_path_factory):
    """A book with about 9,000 invented readings, its registers and one review."""
    from browline.duties.importing import import_file
    from browline.duties.invented import _write_export
    from browline.duties.reviewing import review
    from browline.hospital import invent
    from browline.store.book import open_book

    folder = tmp_path_factory.mktemp("hospital")
    os.environ["BROWLINE_KEYS"] = str(folder / "keys")
    book = open_book(folder / "book")
    files = _write_export(invent(9000, seed=4), folder)
    for kind, file in files.items():
        import_file(book, file, kind=kind, zone="Europe/London")
    review(book)
    return folder


@pytest.fixture
def hospital(hospital_folder, tmp_path, monkeypatch):
    """A copy of that book to change at will."""
    from django.db import connections

    from browline.store.book import open_book

    connections["default"].close()
    shutil.copytree(hospital_folder, tmp_path / "hospital")
    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "hospital" / "keys"))
    return open_book(tmp_path / "hospital" / "book")
