"""What a workbook's own XML says beyond its cells: date system, hidden rows, and errors kept as values.

The reader of cells gives neither (an error comes as an empty cell), and #N/A in a column of temperatures is
a fact worth keeping. XLSX only; sheets are read in pieces, so that memory stays bounded.
"""

import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal
from xml.etree import ElementTree
from xml.parsers import expat

from .extent import Extent, column_number, refuse_far_cells, refuse_far_cells_of_ods
from .refused import refused

_BROKEN = (ElementTree.ParseError, expat.ExpatError)
DateSystem = Literal[1900, 1904]
PIECE = 4 << 20
UNPACKED = 4 << 30
# Tables pack ten to sixty times smaller; what packs far smaller than that is made to fill the memory.
LARGE, PACKED_BY = 256 << 20, 200
LONGEST_ROW, LARGEST_PART = 64 << 20, 16 << 20
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
            _bounded(archive)
            if "content.xml" in archive.namelist():
                with archive.open("content.xml") as stream:
                    refuse_far_cells_of_ods(stream)
            return _xlsx(archive) if "xl/workbook.xml" in archive.namelist() else Workbook()
    except (zipfile.BadZipFile, *_BROKEN, KeyError, ValueError, OSError, EOFError, zlib.error):
        raise refused("The workbook is damaged.", "Open it, save it again as XLSX, and give that.") from None


def _bounded(archive: zipfile.ZipFile) -> None:
    """Refuse a workbook that unpacks to more than any table needs, by what its parts say and by how they pack."""
    unpacked = sum(part.file_size for part in archive.infolist())
    packed = sum(part.compress_size for part in archive.infolist())
    if unpacked > UNPACKED:
        raise refused("The workbook unpacks to more than 4 GB.", "Export the table as CSV.")
    if unpacked > max(LARGE, PACKED_BY * packed):
        raise refused("The workbook unpacks to far more than a table would.", "Export the table as CSV.")


def _part(archive: zipfile.ZipFile, name: str) -> ElementTree.Element:
    """A small part of the workbook, parsed; one that is not small or has a document type is no workbook's."""
    if archive.getinfo(name).file_size > LARGEST_PART:
        raise zipfile.BadZipFile(name)
    text = archive.read(name)
    if b"<!DOCTYPE" in text:
        raise zipfile.BadZipFile(name)
    return ElementTree.fromstring(text)


def _xlsx(archive: zipfile.ZipFile) -> Workbook:
    book = _part(archive, "xl/workbook.xml")
    links = _part(archive, "xl/_rels/workbook.xml.rels")
    targets = {link.get("Id"): link.get("Target", "") for link in links}
    old = any(_local(e) == "workbookPr" and e.get("date1904") in ("1", "true") for e in book.iter())
    parts = [
        next(targets.get(value, "") for key, value in e.attrib.items() if key.endswith("}id"))
        for e in book.iter()
        if _local(e) == "sheet"
    ]
    sheets = (_sheet(archive, part, i) for i, part in enumerate(parts, 1))
    return Workbook(1904 if old else 1900, tuple(sheets))


def _local(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2]


def _sheet(archive: zipfile.ZipFile, target: str, number: int) -> Beyond:
    part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
    hidden, errors, extent = 0, {}, Extent()
    for piece in _pieces(archive, part):
        extent = extent.with_piece(piece)
        if b"hidden=" in piece:
            hidden += len(HIDDEN.findall(piece))
        if b't="e"' in piece:
            for attributes, value in ERROR.findall(piece):
                if reference := REFERENCE.search(attributes):
                    errors[int(reference[2]) - 1, column_number(reference[1])] = value.decode(
                        "utf-8", "replace"
                    )
    refuse_far_cells(number, extent, lambda: _pieces(archive, part))
    return Beyond(hidden, errors)


def _pieces(archive: zipfile.ZipFile, part: str) -> Iterator[bytes]:
    """The XML of a sheet, cut where a row begins."""
    tail = b""
    with archive.open(part) as stream:
        while piece := stream.read(PIECE):
            piece = tail + piece
            cut = piece.rfind(b"row ")
            cut = piece.rfind(b"<", 0, cut) if cut > 0 else len(piece)
            yield piece[:cut]
            tail = piece[cut:]
            if len(tail) > LONGEST_ROW:
                raise refused("A row of the workbook is longer than any table's.", "Export the table as CSV.")
    yield tail
