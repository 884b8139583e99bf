"""A book of its own for every test that asks for one: empty, migrated, its key outside it."""

import os
import shutil

import pytest
from django.db.backends.signals import connection_created
from filelock import FileLock

from browline.settings.launch import set_up_django

# Small matrices in threads of their own hinder each other; the commands set the same.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
set_up_django()


@connection_created.connect
def _write_without_waiting(connection, **_):
    """Nothing pulls the plug in a test, so no write waits for the disk; killed processes set up their own."""
    connection.connection.execute("PRAGMA synchronous = OFF")


# Files that take longest, longest first: begun first, so that no process works on alone at the end.
LONGEST = (
    "test_every_patient", "test_reviewing", "test_spike", "test_kill", "test_signing_in_any_order", "test_any_file",
    "test_rollout_page", "test_variation_since", "test_variation_findings", "test_withdrawn", "test_browser",
    "test_round_trip", "test_sessions_browser", "test_rollout", "test_adding", "test_adding_kinds", "test_ward_sheet",
    "test_import_asks", "test_unlike_people", "test_pdf", "test_html", "test_round_browser", "test_plan_page",
    "test_handouts_browser", "test_kept_files", "test_kept_pages", "test_particles", "test_charting_habits",
)  # fmt: skip


def pytest_collection_modifyitems(items):
    """The longest files first, the rest as collected."""
    place = {name: n for n, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(item.path.stem, len(LONGEST)))


@pytest.fixture(scope="session", autouse=True)
def keys_apart(tmp_path_factory):
    """No test leaves the key of a book among those of this computer."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BROWLINE_KEYS", str(tmp_path_factory.mktemp("keys")))
        yield


@pytest.fixture(scope="session")
def made_once(tmp_path_factory):
    """Make a book's folder (book and keys) once for a whole run, also where several processes share the tests.

    `make` fills an open book; whoever wants to change it copies the folder.
    """
    from django.db import connections

    from browline.store.book import open_book

    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base

    def once(name, make=lambda book: None, of=None):
        folder, half = shared / f"once-{name}", shared / f"half-{name}"
        with FileLock(f"{folder}.lock"), pytest.MonkeyPatch.context() as patch:
            if not folder.exists():
                shutil.rmtree(half, ignore_errors=True)
                shutil.copytree(of, half) if of else half.mkdir()
                patch.setenv("BROWLINE_KEYS", str(half / "keys"))
                make(open_book(half / "book"))
                connections["default"].close()
                half.rename(folder)
        return folder

    return once


@pytest.fixture(scope="session")
def migrated(made_once):
    """The records of an empty book."""
    return made_once("migrated")


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
