"""What a workbook's own XML says beyond its cells: date system, hidden rows, and errors kept as values.

The reader of cells gives neither (an error comes as an empty cell), and #N/A in a column of temperatures is
a fact worth keeping. XLSX only; sheets are read in pieces, so that memory stays bounded.
"""

import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal
from xml.etree import ElementTree

from .refused import refused

DateSystem = Literal[1900, 1904]
PIECE = 4 << 20
UNPACKED = 4 << 30
HIDDEN = re.compile(rb'<(?:\w+:)?row\b[^>]*\bhidden="(?:1|true)"[^>]*>')
ERROR = re.compile(rb'<(?:\w+:)?c\b([^>]*\bt="e"[^>]*)>.*?<(?:\w+:)?v>([^<]*)<', re.DOTALL)
REFERENCE = re.compile(rb'\br="([A-Z]+)([0-9]+)"')


@dataclass(frozen=True)
class Beyond:
    """Of one sheet: how many rows are hidden, and its error values by (row, column), both from 0."""

    hidden: int = 0
    errors: dict[tuple[int, int], str] = field(default_factory=dict)


@dataclass(frozen=True)
class Workbook:
    """Of a workbook: its date system where known, and its sheets in order (none where it is not XLSX)."""

    dates: DateSystem | None = None
    sheets: tuple[Beyond, ...] = ()


def workbook(path: Path) -> Workbook:
    """What the XML of a workbook says; nothing for other formats."""
    if not zipfile.is_zipfile(path):
        return Workbook()
    try:
        with zipfile.ZipFile(path) as archive:
            if sum(part.file_size for part in archive.infolist()) > UNPACKED:
                raise refused("The workbook unpacks to more than 4 GB.", "Export the table as CSV.")
            return _xlsx(archive) if "xl/workbook.xml" in archive.namelist() else Workbook()
    except (zipfile.BadZipFile, ElementTree.ParseError, KeyError, OSError, EOFError):
        raise refused("The workbook is damaged.", "Open it, save it again as XLSX, and give that.") from None


def _xlsx(archive: zipfile.ZipFile) -> Workbook:
    book = ElementTree.fromstring(archive.read("xl/workbook.xml"))
    links = ElementTree.fromstring(archive.read("xl/_rels/workbook.xml.rels"))
    targets = {link.get("Id"): link.get("Target", "") for link in links}
    old = any(_local(e) == "workbookPr" and e.get("date1904") in ("1", "true") for e in book.iter())
    parts = [
        next(targets.get(value, "") for key, value in e.attrib.items() if key.endswith("}id"))
        for e in book.iter()
        if _local(e) == "sheet"
    ]
    return Workbook(1904 if old else 1900, tuple(_sheet(archive, part) for part in parts))


def _local(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2]


def _sheet(archive: zipfile.ZipFile, target: str) -> Beyond:
    part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
    hidden, errors = 0, {}
    for piece in _pieces(archive, part):
        if b"hidden=" in piece:
            hidden += len(HIDDEN.findall(piece))
        if b't="e"' in piece:
            for attributes, value in ERROR.findall(piece):
                if at := REFERENCE.search(attributes):
                    errors[int(at[2]) - 1, _column(at[1])] = value.decode("utf-8", "replace")
    return Beyond(hidden, errors)


def _pieces(archive: zipfile.ZipFile, part: str) -> Iterator[bytes]:
    """The XML of a sheet, cut where a row begins."""
    rest = b""
    with archive.open(part) as stream:
        while piece := stream.read(PIECE):
            piece = rest + piece
            cut = piece.rfind(b"row ")
            cut = piece.rfind(b"<", 0, cut) if cut > 0 else len(piece)
            yield piece[:cut]
            rest = piece[cut:]
    yield rest


def _column(letters: bytes) -> int:
    """Column number from 0: A is 0, AA is 26."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number - 1
