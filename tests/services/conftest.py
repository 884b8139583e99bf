"""A small invented hospital in a book of its own, imported and reviewed once for all tests that only look."""

import shutil

import pytest


@pytest.fixture(scope="session")
def hospital_folder(made_once):
    """A book with about 9,000 invented readings, its registers and one review."""
    return made_once("hospital", _hospital)


def _hospital(book):
    from browline.services.demo import _write_export
    from browline.services.imports.run import import_file
    from browline.services.review.run import review
    from browline.synthetic import invent

    for kind, file in _write_export(invent(9000, seed=4), book.folder.parent).items():
        import_file(book, file, kind=kind, zone="Europe/London")
    review(book)


@pytest.fixture(scope="session")
def people_folder(made_once, hospital_folder):
    """The same book with one review more, by person."""
    from browline.services.review.run import review

    return made_once("people", lambda book: review(book, people=True), of=hospital_folder)


@pytest.fixture
def hospital_by_person(people_folder, tmp_path, monkeypatch):
    """A copy of the book reviewed by person as well."""
    from django.db import connections

    from browline.store.book import open_book

    connections["default"].close()
    shutil.copytree(people_folder, tmp_path / "people")
    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "people" / "keys"))
    return open_book(tmp_path / "people" / "book")


@pytest.fixture
def hospital(hospital_folder, tmp_path, monkeypatch):
    """A copy of that book to change at will."""
    from django.db import connections

    from browline.store.book import open_book

    connections["default"].close()
    shutil.copytree(hospital_folder, tmp_path / "hospital")
    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "hospital" / "keys"))
    return open_book(tmp_path / "hospital" / "book")
