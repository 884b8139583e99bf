"""The reader of tables under headings: each heading is mapped to a column of ours (see `browline.columns`)."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from browline.errors import NotUnderstood
from browline.intake import Mapping
from browline.services.book.preferences import choice, is_zone
from browline.services.imports.mapping import decide_all, refuse_changed_clock, refuse_changed_order
from browline.services.imports.reader import Request
from browline.services.imports.receipts import reading_notes
from browline.store.importing.commit import changes_something, mapped_part
from browline.store.importing.files import let_go
from browline.store.importing.readings import Prepared, prepare_readings
from browline.store.importing.ready import Ready
from browline.store.importing.registers import prepare_register
from browline.store.importing.staging import Known
from browline.store.keys import read_key
from browline.store.models import Instrument, Person, WardAlias
from browline.store.readings import reading_files
from browline.store.sources import Source, Table, open_file


@dataclass(frozen=True)
class MappedFile:
    """A file of tables, and the zone that its times are read by."""

    request: Request
    source: Source
    zone: str | None

    def read(self) -> "MappedTables":
        """Decide how each table is read, and make it ready."""
        request, zone = self.request, self.zone
        source, mappings = decide_all(self.source, request.kind, request.mapping, request.answers)
        refuse_changed_clock(source, zone)
        refuse_changed_order(source, mappings)
        prepared = _prepare(request, source, mappings, zone)
        key = read_key(request.book.identity)
        return MappedTables(
            Ready(
                digest=source.digest,
                format=source.format,
                parts=tuple(mapped_part(source, p, m, key) for p, m in zip(prepared, mappings, strict=True)),
                notes=tuple(reading_notes(source, prepared, zone, datetime.now(UTC))),
                zone=zone or "",
                changes=False,
            )
        )


@dataclass(frozen=True)
class MappedTables:
    """Tables made ready, without the rows that the book has already."""

    ready: Ready

    def plan(self) -> Ready:
        """The same, and whether anything would be new."""
        prepared = [part.prepared for part in self.ready.parts]
        return replace(self.ready, changes=changes_something(self.ready.digest, prepared))


def open_mapped(request: Request) -> MappedFile:
    """Open a file of tables; refuses a zone that is none."""
    zone, progress = request.zone or choice("zone") or None, request.progress
    if zone and not is_zone(zone):
        raise NotUnderstood(f"{zone!r} is not a time zone.", "Zones look like Europe/London.", "Mend --zone.")
    source = open_file(request.path, progress=lambda done, total: progress(done, total, "reading the file"))
    return MappedFile(request, source, zone)


def _prepare(
    request: Request, source: Source, mappings: Sequence[Mapping], zone: str | None
) -> list[Prepared]:
    present: list[Path] = list(reading_files(request.book).values())
    prepared: list[Prepared] = []
    try:
        for table, mapping in zip(source.tables, mappings, strict=True):
            known = _known(request, source, table, mapping, zone)
            prepared.append(_prepare_table(request, table, mapping, known, present))
    except BaseException:
        let_go(request.book, [name for p in prepared for name in (p.readings_file, p.set_aside_file)])
        raise
    return prepared


def _prepare_table(
    request: Request, table: Table, mapping: Mapping, known: Known, present: list[Path]
) -> Prepared:
    """One table made ready; the readings it writes are added to those that are `present`."""
    if mapping.kind != "readings":
        return prepare_register(table, mapping, known)
    prepared = prepare_readings(request.book, table, mapping, known, present, request.progress)
    present += [request.book.readings / prepared.readings_file] if prepared.readings_file else []
    return prepared


def _known(request: Request, source: Source, table: Table, mapping: Mapping, zone: str | None) -> Known:
    aliases = dict(WardAlias.objects.values_list("alias", "ward")) | mapping.ward_aliases
    units = dict(Instrument.objects.listed().values_list("name", "unit"))
    people = tuple(Person.objects.listed().values_list("identifier", flat=True))
    return Known(
        key=read_key(request.book.identity),
        instruments=units,
        people=people,
        ward_aliases=aliases,
        zone=zone or mapping.zone,
        excel_1904=table.dates == 1904,
        canonical=source.format == "fhir",
        vouched=request.answers.people == "yes",
    )
