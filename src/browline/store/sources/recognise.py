"""What sort of file it is: by its first bytes, then by its name; and the way to its bytes."""

import gzip
import io
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Literal, cast

from .letters import PEEK, Letters, letters
from .refused import refused
from .table import Progress

if TYPE_CHECKING:
    from _typeshed import WriteableBuffer

Sort = Literal["text", "workbook", "parquet", "fhir"]

UNREADABLE = (
    (b"%PDF", "It is a PDF.", "Ask for the table itself; a PDF is a picture of one."),
    (b"\x89PNG", "It is a picture.", "Ask for the table itself."),
    (b"\xff\xd8\xff", "It is a picture.", "Ask for the table itself."),
    (b"7z\xbc\xaf", "It is a packed archive.", "Unpack it and give the files inside."),
    (b"Rar!", "It is a packed archive.", "Unpack it and give the files inside."),
    (b"BZh", "It is packed with bzip2.", "Unpack it and give the file inside."),
    (b"\xfd7zXZ", "It is packed with xz.", "Unpack it and give the file inside."),
    (b"\x28\xb5\x2f\xfd", "It is packed with Zstandard.", "Unpack it and give the file inside."),
    (b"SQLite format 3", "It is a database.", "Export the table from it as CSV."),
)
OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
MARKUP = (b"<?xml", b"<html", b"<!doctype", b"<table", b"<workbook")


@dataclass(frozen=True)
class Bytes:
    """The way to a file's bytes, unpacked where it is gzipped; each `open` starts anew."""

    path: Path
    packed: bool
    progress: Progress

    def open(self) -> BinaryIO:
        """A stream of the unpacked bytes."""
        raw = io.BufferedReader(_Watched(self.path, self.progress), 1 << 20)
        return cast(BinaryIO, gzip.GzipFile(fileobj=raw, mode="rb")) if self.packed else raw


class _Watched(io.FileIO):
    """A file that tells how far it has been read."""

    def __init__(self, path: Path, progress: Progress) -> None:
        super().__init__(path)
        self.size, self.progress = path.stat().st_size, progress

    def readinto(self, buffer: "WriteableBuffer", /) -> int | None:
        count = super().readinto(buffer)
        self.progress(self.tell(), self.size)
        return count


def file_sort(start: bytes, packed: bool, path: Path) -> Sort:
    """The sort of a file from its first (unpacked) bytes; refuses what cannot be read."""
    if not start.strip(b" \t\r\n\0"):
        raise refused("The file is empty.", "Export it again and check its size.")
    for magic, came, do in UNREADABLE:
        if start.startswith(magic):
            raise refused(came, do)
    if packed and start.startswith((b"PAR1", b"PK", OLD_WORKBOOK)):
        raise refused(
            "It is a gzipped workbook, archive or Parquet file.", "Unpack it and give the file inside."
        )
    if start.startswith(b"PAR1"):
        return "parquet"
    if start.startswith(b"PK"):
        return _zipped(path)
    if start.startswith(OLD_WORKBOOK):
        return "workbook"
    return _written(start)


def _zipped(path: Path) -> Sort:
    """A workbook is a zip with known parts."""
    try:
        with zipfile.ZipFile(path) as archive:
            inside = set(archive.namelist())
    except zipfile.BadZipFile:
        raise refused(
            "The file is damaged: its end is missing or does not fit.", "Copy or export it again."
        ) from None
    if inside & {"xl/workbook.xml", "xl/workbook.bin", "content.xml"}:
        return "workbook"
    raise refused("It is a packed archive (zip).", "Unpack it and give the files inside.")


def _written(start: bytes) -> Sort:
    """Text of some kind, unless its bytes are no text at all."""
    given = letters(start, every_byte_utf8=False)
    text = start[given.mark :].decode(
        given.encoding if given != Letters("cp1252", 0) else "latin-1", "ignore"
    )
    controls = sum(c < " " and c not in "\t\r\n\f\x1a\x1c\x1d\x1e\x1f\x01" for c in text)
    if "\0" in text or controls > len(text) / 20:
        raise refused("The file is not text and no table format we know.", "Export the table as CSV.")
    begins = text.lstrip().lower()
    if begins.encode("utf-8", "replace").startswith(MARKUP):
        raise refused(
            "It is a web page or XML, whatever its name ends in.",
            "Open it in the spreadsheet program and save it as XLSX or CSV.",
        )
    if '"resourcetype"' in begins and begins[0] in "{[":
        return "fhir"
    if begins.startswith(("{", "[")) and begins[1:].lstrip()[:1] in ('"', "{", "}", "]"):
        raise refused(
            "It is JSON, but not FHIR: nothing in it says its resource type.", "Export a table or FHIR."
        )
    return "text"


def file_start(path: Path) -> tuple[bytes, bool]:
    """The first unpacked bytes of a file, and whether it is gzipped."""
    with path.open("rb") as stream:
        start = stream.read(PEEK)
    if not start.startswith(b"\x1f\x8b"):
        return start, False
    try:
        with gzip.open(path) as stream:
            start = stream.read(PEEK)
            # To its end once: what is cut off or damaged shows only there, and nothing may be half read.
            while stream.read(1 << 20):
                pass
            return start, True
    except (OSError, EOFError, zlib.error):
        raise refused("The file is damaged: it cannot be unpacked.", "Copy or export it again.") from None
