"""A book of its own for every test that asks for one: empty, migrated, its key outside it."""

import os
import shutil

import django
import pytest

# Small matrices in threads of their own hinder each other; the commands set the same.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "browline.store.settings")
django.setup()


@pytest.fixture(scope="session")
def migrated(tmp_path_factory):
    """The records of an empty book, made once."""
    from django.db import connections

    from browline.store.book import open_book

    folder = tmp_path_factory.mktemp("migrated")
    os.environ["BROWLINE_KEYS"] = str(folder / "keys")
    open_book(folder / "book")
    connections["default"].close()
    return folder


@pytest.fixture
def book(migrated, tmp_path, monkeypatch):
    """An empty book in a temporary folder."""
    from browline.store.book import open_book

    shutil.copytree(migrated, tmp_path, dirs_exist_ok=True)
    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "keys"))
    return open_book(tmp_path / "book")


@pytest.fixture
def export(tmp_path):
    """Write lines (or bytes) as a file and get its path."""

    def write(text, name="export.csv"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return write
