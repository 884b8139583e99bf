"""A sheet of paper as a file to keep."""

import tempfile
from collections.abc import Callable
from pathlib import Path

from django.http import HttpResponse

from browline.web.current_book import current_book


def pdf(write: Callable[[Path], Path], name: str) -> HttpResponse:
    """What `write` makes at a path, as a PDF under a name, by way of the book's owner-only folder."""
    with tempfile.TemporaryDirectory(dir=current_book().jobs) as folder:
        content = write(Path(folder) / "sheet.pdf").read_bytes()
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(content, content_type="application/pdf", headers=headers)
