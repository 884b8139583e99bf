"""A sheet as a file to keep."""

import tempfile
from pathlib import Path

from django.http import HttpResponse

from browline.paper import Sheet, write_xlsx
from browline.web.current_book import current_book

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def spreadsheet(sheet: Sheet, name: str) -> HttpResponse:
    """The sheet as XLSX, by way of the book's owner-only folder."""
    with tempfile.TemporaryDirectory(dir=current_book().jobs) as folder:
        content = write_xlsx([sheet], Path(folder) / name).read_bytes()
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(content, content_type=XLSX, headers=headers)
