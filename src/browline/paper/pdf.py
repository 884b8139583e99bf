"""A report as PDF, through Typst: tagged, archivable, readable in greyscale, the same bytes for the same report.

What is said travels as one JSON text that the template reads; no value is ever pasted into markup.
"""

import json
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Literal

from browline.figures import SUBSTITUTE, font_folder, printable
from browline.paper.layout import laid_out, request_laid_out
from browline.paper.whole import write_whole
from browline.services.review.report.document import Report, Request

STANDARDS: tuple[Literal["ua-1", "a-2a"], ...] = ("ua-1", "a-2a")
UNPRINTED = f"{SUBSTITUTE} stands for a character this paper cannot print; the HTML file shows it."


def write_pdf(report: Report, path: Path | str) -> Path:
    """Write the report to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("report.typ", laid_out(report), report.made, Path(path))


def write_request_pdf(request: Request, path: Path | str) -> Path:
    """Write the page for the data team, in the same standards."""
    return write_typeset("request.typ", request_laid_out(request), request.made, Path(path))


def write_typeset(template: str, content: Mapping[str, object], created: datetime, path: Path) -> Path:
    """Fill a template of this folder with `content` and write it; `created` is the time stamped into the file."""
    write_whole(path, _typeset(template, _for_paper(content), created))
    return path


def _typeset(template: str, content: Mapping[str, object], created: datetime) -> bytes:
    """Fill a template of this folder with data; `created` is the time stamped into the file."""
    import typst

    return typst.compile(
        str(Path(__file__).parent / template),
        font_paths=[str(font_folder())],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"report": json.dumps(content, ensure_ascii=False)},
        pdf_standards=list(STANDARDS),
        timestamp=int(created.timestamp()),
    )


def _for_paper(content: Mapping[str, object]) -> dict[str, object]:
    """The content with nothing in it that the typeface cannot show, and a word about it where it mattered."""
    printed = {key: _printable(part) for key, part in content.items()}
    marks = [json.dumps(tree, ensure_ascii=False).count(SUBSTITUTE) for tree in (content, printed)]
    return {**printed, "unprinted": UNPRINTED if marks[1] > marks[0] else ""}


def _printable(value: object) -> object:
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, Mapping):
        return {key: _printable(part) for key, part in value.items()}
    return [_printable(part) for part in value] if isinstance(value, list) else value
