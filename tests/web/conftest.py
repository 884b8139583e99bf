"""A real book in a temporary folder, a visitor without a session, and Ines, who came in by a link."""

import os

import django
import pytest

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "browline.store.settings")
django.setup()


@pytest.fixture
def book(tmp_path, monkeypatch):
    """An empty book with its key outside it."""
    from browline.store.book import open_book

    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "keys"))
    return open_book(tmp_path / "book")


@pytest.fixture
def visitor(book):
    """A browser that nobody let in."""
    from django.test import Client

    return Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})


@pytest.fixture
def ines(visitor):
    """Ines, the educator, signed in by a one-time link."""
    from browline.web.access import make_token

    assert visitor.get(f"/in/{make_token()}/").status_code == 302
    return visitor
