"""A sheet as a file to keep or to open. On its way it lies in the book's owner-only folder, and in no other.

What a killed process left there is swept away when the pages open again.
"""

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from django.http import HttpResponse

from browline.paper import Sheet, write_xlsx
from browline.web.current_book import current_book

PREFIX = "download-"
PDF = "application/pdf"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def pdf(write: Callable[[Path], Path], name: str, *, disposition: str = "attachment") -> HttpResponse:
    """What `write` makes at a path, as a PDF under a name; `disposition` is "inline" for one to be opened at once."""
    return download(_content(write), PDF, name, disposition=disposition)


def spreadsheet(sheet: Sheet, name: str) -> HttpResponse:
    """The sheet as XLSX under a name."""
    return download(_content(lambda path: write_xlsx([sheet], path)), XLSX, name)


def download(content: bytes, kind: str, name: str, *, disposition: str = "attachment") -> HttpResponse:
    """The content as a file of a kind (its media type) under a name."""
    headers = {"Content-Disposition": f'{disposition}; filename="{name}"'}
    return HttpResponse(content, content_type=kind, headers=headers)


def sweep_downloads(folder: Path) -> None:
    """Delete what a killed process left behind on the way to somebody."""
    for leftover in folder.glob(f"{PREFIX}*"):
        shutil.rmtree(leftover, ignore_errors=True)


def _content(write: Callable[[Path], Path]) -> bytes:
    with tempfile.TemporaryDirectory(prefix=PREFIX, dir=current_book().jobs) as folder:
        return write(Path(folder) / "sheet").read_bytes()
