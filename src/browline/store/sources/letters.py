"""Which encoding a text file is in, and its bytes as UTF-8 in blocks of bounded size.

A file is UTF-8 if every byte of it is; UTF-16 and UTF-32 by their mark, or by where the zero bytes fall;
anything else is Windows-1252, which holds Latin-1's letters and the degree sign at the same places.
"""

import codecs
import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import BinaryIO

BLOCK = 96 << 20
PEEK = 1 << 16

MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
SEQUENCE = re.compile(rb"[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}")


@dataclass(frozen=True)
class Letters:
    """An encoding by Python's name, and the length of the byte order mark before the text."""

    encoding: str
    mark: int


def letters(start: bytes, every_byte_utf8: bool) -> Letters:
    """The encoding, from the first bytes of the file and whether the whole of it decodes as UTF-8.

    >>> letters("time;°C".encode("utf-16-le"), False).encoding
    'utf-16-le'
    >>> letters("37 °C".encode("cp1252"), False).encoding
    'cp1252'
    """
    for mark, encoding in MARKS:
        if start.startswith(mark):
            return (
                Letters(encoding, len(mark))
                if encoding != "utf-8" or every_byte_utf8
                else Letters("cp1252", 3)
            )
    half = max(len(start) // 2, 1)
    if start[1::2].count(0) > 0.4 * half and start[::2].count(0) < 0.1 * half:
        return Letters("utf-16-le", 0)
    if start[::2].count(0) > 0.4 * half and start[1::2].count(0) < 0.1 * half:
        return Letters("utf-16-be", 0)
    return Letters("utf-8" if every_byte_utf8 else "cp1252", 0)


def utf8_blocks(open_: Callable[[], BinaryIO], given: Letters, size: int = BLOCK) -> Iterator[bytes]:
    """The text after its byte order mark as UTF-8, about `size` bytes at a time, cut anywhere."""
    with open_() as stream:
        stream.read(given.mark)
        if given.encoding == "utf-8":
            # Nothing here may hold on to a block that has been handed on.
            yield from iter(lambda: stream.read(size), b"")
        elif given.encoding == "cp1252":
            yield from _by_line(stream, size)
        else:
            decoder = codecs.getincrementaldecoder(given.encoding)("replace")
            while block := stream.read(max(size, 4)):
                yield decoder.decode(block).encode("utf-8", "replace")
            if tail := decoder.decode(b"", final=True):
                yield tail.encode("utf-8", "replace")


def _by_line(stream: BinaryIO, size: int) -> Iterator[bytes]:
    """Windows-1252, save for lines that are UTF-8 already: exports get pasted together."""
    while block := stream.read(size):
        block += stream.readline(size)
        if SEQUENCE.search(block):
            yield b"".join(_line(line) for line in block.splitlines(keepends=True))
        else:
            yield _windows(block)


def _line(line: bytes) -> bytes:
    try:
        line.decode("utf-8")
    except UnicodeDecodeError:
        return _windows(line)
    return line


def _windows(text: bytes) -> bytes:
    """Windows-1252 as UTF-8; the five places it leaves undefined keep their Latin-1 control characters."""
    try:
        return text.decode("cp1252").encode()
    except UnicodeDecodeError:
        return "".join(_WINDOWS[b] for b in text).encode()


_WINDOWS = [bytes([b]).decode("cp1252", "ignore") or chr(b) for b in range(256)]


def survey(open_: Callable[[], BinaryIO]) -> tuple[bytes, bool]:
    """The first bytes of a stream, and whether the whole of it is UTF-8."""
    decoder, valid, start = codecs.getincrementaldecoder("utf-8")(), True, b""
    with open_() as stream:
        while piece := stream.read(1 << 20):
            start = start or piece[:PEEK]
            try:
                if not piece.isascii() or decoder.getstate()[0]:
                    decoder.decode(piece)
            except UnicodeDecodeError:
                return start, False
    return start, valid and not decoder.getstate()[0]


def digest(open_: Callable[[], BinaryIO]) -> str:
    """SHA-256 of the bytes, in hex."""
    sum_ = hashlib.sha256()
    with open_() as stream:
        while piece := stream.read(1 << 20):
            sum_.update(piece)
    return sum_.hexdigest()
