"""A report as one page that opens on a locked computer: no scripts, nothing fetched, everything inside.

The words go through a template that escapes them; the charts are our own SVG; style and typeface stand in the
page itself.
"""

import base64
from collections.abc import Mapping
from pathlib import Path
from typing import cast

from browline.figures import FONT_FAMILY, font_folder
from browline.paper.layout import laid_out, request_laid_out
from browline.paper.whole import write_whole
from browline.services.review.report.document import Report, Request

FACES = {400: "SourceSansPro-Regular.woff2", 600: "SourceSansPro-Semibold.woff2"}


def write_html(report: Report, path: Path | str) -> Path:
    """Write the report to `path` as one self-contained page; it appears whole or not at all."""
    return _write("report.html", laid_out(report), Path(path))


def write_request_html(request: Request, path: Path | str) -> Path:
    """Write the page for the data team."""
    return _write("request.html", request_laid_out(request), Path(path))


def _write(template: str, content: Mapping[str, object], path: Path) -> Path:
    write_whole(path, _page(template, content).encode("utf-8", "replace"))
    return path


def _page(template: str, content: Mapping[str, object]) -> str:
    from django.template import Context, Engine
    from django.utils.safestring import mark_safe

    engine = Engine(dirs=[str(Path(__file__).parent)])
    style = mark_safe(_faces() + (Path(__file__).parent / "page.css").read_text(encoding="utf-8"))
    return engine.get_template(template).render(Context({**_mapping(content), "style": style}))


def _faces() -> str:
    return "".join(
        f'@font-face{{font-family:"{FONT_FAMILY}";font-weight:{weight};src:url(data:font/woff2;base64,{_inside(name)})'
        f' format("woff2")}}\n'
        for weight, name in FACES.items()
    )


def _inside(name: str) -> str:
    return base64.b64encode((font_folder() / name).read_bytes()).decode("ascii")


def _for_template(value: object) -> object:
    """The same data as a template wants it: drawings safe, tables cell by cell, numbers as text."""
    if isinstance(value, Mapping):
        return _mapping(value)
    if isinstance(value, list | tuple):
        return [_for_template(v) for v in value]
    return str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value


def _mapping(content: Mapping[str, object]) -> dict[str, object]:
    from django.utils.safestring import mark_safe

    values = {k: mark_safe(cast(str, v)) if k == "svg" else _for_template(v) for k, v in content.items()}
    return _with_cells(values) if values.get("type") == "grid" else values


def _with_cells(grid: dict[str, object]) -> dict[str, object]:
    headings, rows = cast(list[str], grid["headings"]), cast(list[list[str]], grid["rows"])
    numeric = cast(list[str], grid["numeric"])

    def cells(row: list[str]) -> list[dict[str, object]]:
        return [{"text": text, "numeric": str(i) in numeric} for i, text in enumerate(row)]

    return {**grid, "head": cells(headings), "body": [cells(row) for row in rows]}
