"""FHIR R4: resources one by one, each handed to the room that reads it, as rows of canonical columns.

NDJSON is read line by line and a row's number is its line; a Bundle or a list of resources is loaded and a
row's number is the entry's place. A resource that cannot be a reading keeps its row, with a reason.
"""

import io
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import islice
from typing import TYPE_CHECKING, Any, Protocol

from ...columns import KINDS
from .columns import Row, gone_after, hold
from .letters import letters
from .recognise import Bytes
from .refused import refused
from .table import Table

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

HEADINGS = (*(c.name for c in KINDS["readings"]), "reason", "repairs")
BATCH = 20_000
LOADED = 256 << 20
UNREAD = "resource-unread"

Resource = dict[str, Any]


class FhirRow(Protocol):
    """One row from a resource: cells by canonical column, the code of why it is no reading, repairs made."""

    @property
    def cells(self) -> Mapping[str, str]: ...
    @property
    def reason(self) -> str | None: ...
    @property
    def repairs(self) -> tuple[str, ...]: ...


FhirRows = Callable[[Resource], Iterable[FhirRow]]


def open_fhir(given: Bytes, reader: FhirRows) -> Table:
    """The one table of a FHIR file; `reader` reads a resource."""
    by_line = _is_by_line(given)
    if not by_line:
        _document(given)

    def read(con: "DuckDBPyConnection", name: str) -> Iterator[int]:
        with gone_after(con, name):
            resources = _lines(given) if by_line else _entries(_document(given))
            rows = (row for number, resource in resources for row in _rows(number, resource, reader))
            while batch := list(islice(rows, BATCH)):
                if count := hold(con, name, len(HEADINGS), batch):
                    yield count

    kind = "one resource to a line" if by_line else "one document"
    return Table(HEADINGS, "the file", (f"FHIR, {kind}.",), read)


def _rows(number: int, resource: object, reader: FhirRows) -> Iterator[Row]:
    """The rows of one resource; one with a reason where it gives none."""
    rows = list(reader(resource)) if isinstance(resource, dict) else []
    for row in rows:
        cells = {**row.cells, "reason": row.reason or "", "repairs": " ".join(row.repairs)}
        yield number, [cells.get(name, "") for name in HEADINGS], None
    if not rows:
        yield number, [*[""] * len(KINDS["readings"]), UNREAD, ""], None


def _text(given: Bytes) -> io.TextIOWrapper:
    with given.open() as stream:
        encoded = letters(stream.read(1 << 16), every_byte_utf8=True)
    stream = given.open()
    stream.read(encoded.mark)
    return io.TextIOWrapper(stream, encoded.encoding, errors="replace", newline="\n")


def _is_by_line(given: Bytes) -> bool:
    """Whether the first line is a whole resource (and not a Bundle, which is a document)."""
    with _text(given) as lines:
        first = next((line for line in lines if line.strip()), "")
    resource = _parsed(first)
    return isinstance(resource, dict) and resource.get("resourceType") != "Bundle"


def _parsed(text: str) -> object:
    """The JSON of a text, None where it is none."""
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _lines(given: Bytes) -> Iterator[tuple[int, object]]:
    """Line numbers and resources of NDJSON; None for a line that is no JSON."""
    with _text(given) as lines:
        for number, line in enumerate(lines, 1):
            if line.strip():
                yield number, _parsed(line)


def _document(given: Bytes) -> object:
    """The whole document; refused where it is too long to load, cut off or no JSON."""
    with _text(given) as stream:
        text = stream.read(LOADED + 1)
    if len(text) > LOADED:
        raise refused("The FHIR document is too long to be read as one.", "Export it as NDJSON.")
    document = _parsed(text)
    if not isinstance(document, dict | list):
        raise refused("The JSON is damaged or cut off.", "Export it again; NDJSON is safest.")
    return document


def _entries(document: object) -> Iterator[tuple[int, object]]:
    """Places from 1 and resources of a Bundle, a list or a single resource."""
    if isinstance(document, dict) and document.get("resourceType") == "Bundle":
        entries = document.get("entry") or []
        yield from enumerate((e.get("resource") if isinstance(e, dict) else None for e in entries), 1)
    else:
        yield from enumerate(document if isinstance(document, list) else [document], 1)
