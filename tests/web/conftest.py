"""A real book in a temporary folder, a visitor without a session, and Ines, who came in by a link."""

import pytest
from django.db import connections


@pytest.fixture
def book(book):
    """An empty book with its key outside it, closed afterwards: a server's threads may have opened it too."""
    yield book
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
    from browline.web.readings.imports import pending_uploads

    yield
    for upload in list(pending_uploads._uploads.values()):
        pending_uploads.forget(upload.token)


@pytest.fixture
def started(monkeypatch):
    """What jobs were asked to do, instead of doing it."""
    from browline.services.book import jobs
    from browline.store.models import Job

    asked = []

    def start(book, verb, arguments, fds=()):
        asked.append({"verb": verb, "fds": tuple(fds), **arguments})
        return Job.objects.create(verb=verb, arguments=arguments)

    monkeypatch.setattr(jobs, "start", start)
    return asked
