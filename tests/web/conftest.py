"""A real book in a temporary folder, a visitor without a session, and Ines, who came in by a link."""

import os
import shutil

import django
import pytest
from django.db import connections

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "browline.store.settings")
django.setup()


@pytest.fixture(scope="session")
def blank(tmp_path_factory):
    """A book made once: making the schema takes longer than most tests."""
    from browline.store.book import open_book

    folder = tmp_path_factory.mktemp("blank")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BROWLINE_KEYS", str(folder / "keys"))
        open_book(folder / "book")
    connections["default"].close()
    return folder


@pytest.fixture
def book(blank, tmp_path, monkeypatch):
    """An empty book with its key outside it."""
    from browline.store.book import open_book

    shutil.copytree(blank, tmp_path, dirs_exist_ok=True)
    monkeypatch.setenv("BROWLINE_KEYS", str(tmp_path / "keys"))
    yield open_book(tmp_path / "book")
    connections["default"].close()


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


@pytest.fixture(autouse=True)
def nothing_left_over():
    """No test sees another's uploads."""
    from browline.web.readings import held

    yield
    for upload in list(held._held.values()):
        held.forget(upload.token)


@pytest.fixture
def started(monkeypatch):
    """What jobs were asked to do, instead of doing it."""
    from browline.duties import jobs
    from browline.store.models import Job

    asked = []

    def start(book, verb, arguments, fds=()):
        asked.append({"verb": verb, "fds": tuple(fds), **arguments})
        return Job.objects.create(verb=verb, arguments=arguments)

    monkeypatch.setattr(jobs, "start", start)
    return asked
