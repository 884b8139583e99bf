"""On its way to somebody a sheet lies in the book's own folder, for its owner only, and is gone after a kill too."""

import os
import signal
import stat
import subprocess
import sys

import pytest

from browline.web import downloads, server

# Writes a sheet of a book and is killed before it has been sent.
KILLED = """
import os, signal, sys
from pathlib import Path
from browline.settings.launch import set_up_django
set_up_django()
from browline.store.book import open_book
from browline.web import downloads

def write(path):
    path.write_bytes(b"A. Larch, signed off")
    os.kill(os.getpid(), signal.SIGKILL)

open_book(Path(sys.argv[1]))
downloads.pdf(write, "record.pdf")
"""


def lying(book):
    return sorted(path.name for path in book.jobs.glob(f"{downloads.PREFIX}*"))


def test_a_sheet_lies_for_its_owner_only_in_the_books_folder_and_goes(book):
    seen = []

    def write(path):
        path.write_bytes(b"sheet")
        seen.append((path.parent.parent, stat.S_IMODE(path.parent.stat().st_mode)))
        return path

    answer = downloads.pdf(write, "plan 1.pdf", disposition="inline")
    assert seen == [(book.jobs, 0o700)]
    assert answer.content == b"sheet" and answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="plan 1.pdf"'
    assert not lying(book)


def test_it_goes_though_it_could_not_be_written(book):
    with pytest.raises(ZeroDivisionError):
        downloads.pdf(lambda path: path.write_bytes(b"half") / 0, "plan.pdf")
    assert not lying(book)


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="a kill as on Linux and macOS")
def test_what_a_kill_left_is_gone_when_the_pages_open_again(book, monkeypatch):
    done = subprocess.run([sys.executable, "-c", KILLED, str(book.folder)], env=os.environ, check=False)
    assert done.returncode == -signal.SIGKILL and len(lying(book)) == 1

    def swept(*_, **__):
        assert not lying(book), "before anybody can ask for a page"
        raise KeyboardInterrupt

    monkeypatch.setattr(server, "make_server", swept)
    with pytest.raises(KeyboardInterrupt):
        server.serve(book, 0, open_browser=False)
