"""A kill at any moment leaves the book as it was, or with the whole import; never between."""

import os
import random
import signal
import subprocess
import sys
import time

import pytest
from charts import HEADING, kept

from browline.services.imports.run import import_file

KILLS = 25
TAKE = (
    "import sys, pathlib\n"
    "from browline.settings.launch import set_up_django\n"
    "set_up_django()\n"
    "from browline.store.book import open_book\n"
    "book = open_book(pathlib.Path(sys.argv[1]))\n"
    "from browline.services.imports.run import import_file\n"
    "print('ready', flush=True)\n"
    "import_file(book, pathlib.Path(sys.argv[2]))\n"
    "print('done', flush=True)\n"
)


def rows(n, first=0):
    """n readings of invented stays, a minute apart."""
    yield HEADING
    for i in range(first, first + n):
        day, minute = divmod(i, 1440)
        clock = f"2026-{day // 28 % 12 + 1:02d}-{day % 28 + 1:02d} {minute // 60:02d}:{minute % 60:02d}"
        yield f"P{i % 997:05d},V{i % 997},{clock},{36 + i % 20 / 10:.1f},C,Temporal,FS-{i % 40:02d},{i % 90:05d},5 West"


def test_a_kill_at_any_moment_leaves_the_book_whole(book, tmp_path):
    small, large = tmp_path / "small.csv", tmp_path / "large.csv"
    small.write_text("\n".join(rows(500)))
    large.write_text("\n".join(rows(30_000, first=500)))
    import_file(book, small)
    longest = _timed(book, large, tmp_path)
    chance = random.Random(7)
    for _ in range(KILLS):
        finished = _killed_after(book, large, chance.uniform(0.0, 1.2 * longest))
        count = len(kept(book))
        assert count == 30_500 or (count == 500 and not finished)
        if count == 30_500:
            _take_back(book)
    import_file(book, large)
    assert len(kept(book)) == 30_500
    named = {p.name for p in book.readings.iterdir()}
    assert not any(name.endswith(".part") for name in named), "leftovers are swept by the next import"


def _start(book, path):
    return subprocess.Popen(
        [sys.executable, "-c", TAKE, str(book.folder), str(path)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ},
    )


def _timed(book, path, tmp_path):
    """How long the import takes once the process is ready, on a copy of the book."""
    import shutil

    from django.db import connections

    # Closing any file handle on the records would drop the locks of a connection open in this process.
    connections["default"].close()
    shutil.copytree(book.folder, tmp_path / "copy")
    process = subprocess.Popen(
        [sys.executable, "-c", TAKE, str(tmp_path / "copy"), str(path)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout.readline() == "ready\n"
    begin = time.monotonic()
    assert process.stdout.readline() == "done\n"
    process.wait()
    return time.monotonic() - begin


def _killed_after(book, path, seconds):
    process = _start(book, path)
    assert process.stdout.readline() == "ready\n"
    time.sleep(seconds)
    process.send_signal(signal.SIGKILL)
    rest = process.stdout.read()
    process.wait()
    return "done" in rest


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
