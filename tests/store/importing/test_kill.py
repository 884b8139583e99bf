"""A kill at any moment leaves the book as it was, or with the whole import; never between."""

import contextlib
import os
import random
import shutil
import signal
import subprocess
import sys
import time

import pytest
from charts import HEADING, kept
from django.db import connections

from browline.services.imports.run import import_file

KILLS = 25
# One process has everything loaded; each import runs in a child of its own, and that child is killed.
TAKE = """
import os, pathlib, sys
from browline.settings.launch import set_up_django
set_up_django()
from browline.services.imports.run import import_file
from browline.store.book import open_book
for line in sys.stdin:
    folder, path = line.strip().split("|")
    if os.fork() == 0:
        book = open_book(pathlib.Path(folder))
        print("ready", os.getpid(), flush=True)
        import_file(book, pathlib.Path(path))
        print("done", flush=True)
        os._exit(0)
    os.wait()
    print("over", flush=True)
"""


def rows(n, first=0):
    """n readings of invented stays, a minute apart."""
    yield HEADING
    for i in range(first, first + n):
        day, minute = divmod(i, 1440)
        clock = f"2026-{day // 28 % 12 + 1:02d}-{day % 28 + 1:02d} {minute // 60:02d}:{minute % 60:02d}"
        yield f"P{i % 997:05d},V{i % 997},{clock},{36 + i % 20 / 10:.1f},C,Temporal,FS-{i % 40:02d},{i % 90:05d},5 West"


def test_a_kill_at_any_moment_leaves_the_book_whole(book, tmp_path, importer):
    small, large = tmp_path / "small.csv", tmp_path / "large.csv"
    small.write_text("\n".join(rows(500)))
    large.write_text("\n".join(rows(30_000, first=500)))
    import_file(book, small)
    longest = _timed(importer, book, large, tmp_path)
    chance = random.Random(7)
    for _ in range(KILLS):
        finished = _killed_after(importer, book, large, chance.uniform(0.0, 1.2 * longest))
        count = len(kept(book))
        assert count == 30_500 or (count == 500 and not finished)
        if count == 30_500:
            _take_back(book)
    import_file(book, large)
    assert len(kept(book)) == 30_500
    named = {p.name for p in book.readings.iterdir()}
    assert not any(name.endswith(".part") for name in named), "leftovers are swept by the next import"


@pytest.fixture
def importer():
    """A process that imports what it is asked to, each time in a child."""
    with subprocess.Popen(
        [sys.executable, "-c", TAKE], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        yield process
        process.stdin.close()


def _begun(importer, folder, path):
    """The number of the child that begins this import now."""
    print(folder, path, sep="|", file=importer.stdin, flush=True)
    ready, child = importer.stdout.readline().split()
    assert ready == "ready"
    return int(child)


def _timed(importer, book, path, tmp_path):
    """How long the import takes once the child is ready, on a copy of the book."""
    # Closing any file handle on the records would drop the locks of a connection open in this process.
    connections["default"].close()
    shutil.copytree(book.folder, tmp_path / "copy")
    _begun(importer, tmp_path / "copy", path)
    begin = time.monotonic()
    assert importer.stdout.readline() == "done\n"
    assert importer.stdout.readline() == "over\n"
    return time.monotonic() - begin


def _killed_after(importer, book, path, seconds):
    """Kill the import so many seconds after it began; whether it had finished."""
    child = _begun(importer, book.folder, path)
    time.sleep(seconds)
    with contextlib.suppress(ProcessLookupError):
        os.kill(child, signal.SIGKILL)
    lines = list(iter(importer.stdout.readline, "over\n"))
    return "done\n" in lines


def _take_back(book):
    from browline.services.imports.undo import undo_import
    from browline.store.models import Import

    undo_import(Import.objects.filter(undone=None).order_by("-pk").first().pk, "Ines")


@pytest.mark.parametrize("when", ["before the file", "before the transaction"])
def test_a_fault_between_file_and_transaction_leaves_the_book_as_it_was(book, tmp_path, monkeypatch, when):
    from browline.store.importing import commit, files

    path = tmp_path / "export.csv"
    path.write_text("\n".join(rows(200)))
    target = (files, "_make_durable") if when == "before the file" else (commit, "_remember")

    def fail(*_):
        raise RuntimeError("the power went")

    with monkeypatch.context() as patched:
        patched.setattr(*target, fail)
        with pytest.raises(RuntimeError):
            import_file(book, path)
    assert kept(book) == []
    import_file(book, path)
    assert len(kept(book)) == 200
