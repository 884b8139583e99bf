"""Taking files into the book: look first, then take; every deed is one transaction and has a receipt."""

from collections.abc import Callable
from collections.abc import Mapping as Dict
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from browline.columns import KINDS
from browline.duties.setaside import set_aside_rows
from browline.errors import InputRefused, NotUnderstood, Undecided
from browline.intake import Guess, Mapping, from_toml, propose, recognise, signature
from browline.store.book import Book
from browline.store.sources import Source, Table, open_file

Progress = Callable[[int, int, str], None]

__all__ = [
    "Question",
    "TableLook",
    "import_file",
    "look_at",
    "restore_repair",
    "set_aside_rows",
    "undo_import",
    "undo_repair",
]


@dataclass(frozen=True)
class Question:
    """Something only a person can settle before the file is taken."""

    code: str
    text: str
    choices: tuple[str, ...]


@dataclass(frozen=True)
class TableLook:
    """One table of a file, looked at and not taken. `sample` holds a few rows; they exist in memory only."""

    label: str
    kind: str
    headings: tuple[str, ...]
    guess: Guess
    sample: tuple[tuple[str, ...], ...]
    questions: tuple[Question, ...]
    notes: tuple[str, ...]


def look_at(book: Book, path: Path, *, kind: str | None = None) -> tuple[TableLook, ...]:
    """What browline would make of a file: per table its kind, its mapping and what it has to ask."""
    source = open_file(path)
    looks, refusals = [], []
    for table in source.tables:
        try:
            looks.append(_look(source, table, kind))
        except InputRefused as refusal:
            refusals.append(refusal)
    if not looks:
        raise refusals[0]
    return tuple(looks)


def import_file(
    book: Book,
    path: Path,
    *,
    kind: str | None = None,
    mapping: Mapping | Dict[str, Mapping] | None = None,
    zone: str | None = None,
    actor: str = "educator",
    progress: Progress | None = None,
) -> Any:
    """Take a file into the book and return its receipt; all of it or nothing.

    `mapping` may be one for every table or one per label; what is not given is remembered from the last
    file with these headings, else proposed. Raises `Undecided` where only a person can say.
    """
    from browline.duties.choices import choice, is_zone
    from browline.duties.receipts import notes_of, receipt_of
    from browline.store.importing.files import import_lock

    zone = zone or choice("zone") or None
    if zone and not is_zone(zone):
        raise NotUnderstood(f"{zone!r} is not a time zone.", "Zones look like Europe/London.", "Mend --zone.")
    progress = progress or _silent
    source = open_file(path, progress=lambda done, total: progress(done, total, "reading the file"))
    with import_lock(book):
        source, mappings = _decide_all(source, kind, mapping)
        _refuse_other_clock(source, zone)
        prepared = _prepare(book, source, mappings, zone, progress)
        notes = notes_of(source, prepared, zone, datetime.now(UTC))
        made = _commit_if_new(book, source, prepared, mappings, zone, actor, notes)
    return receipt_of(path.name, source, prepared, mappings, made, notes)


def undo_import(import_id: int, actor: str) -> None:
    """Take a whole import of readings back; its file stays until nothing names it."""
    from django.db import transaction
    from django.utils import timezone

    from browline.store.models import Event, Import

    with transaction.atomic():
        changed = Import.objects.filter(pk=import_id, kind="readings", undone=None).update(
            undone=timezone.now()
        )
        if not changed:
            raise NotUnderstood(
                "This import cannot be taken back.",
                "Only readings that are in force can; register entries are edited on their own pages.",
                "Choose another import.",
            )
        Event.objects.create(actor=actor, verb="undo-import", subject=str(import_id))


def undo_repair(import_id: int, code: str, actor: str) -> None:
    """Take one kind of repair back for an import: its rows no longer count as readings."""
    from django.db import transaction

    from browline.store.models import Event, Import, UndoneRepair

    with transaction.atomic():
        source = Import.objects.get(pk=import_id)
        if not any(r["role"] == "repair" and r["code"] == code for r in source.reasons):
            raise NotUnderstood(
                f"Import {import_id} has no repair {code!r}.",
                "Only a repair that was made can go.",
                "Look at its receipt.",
            )
        UndoneRepair.objects.get_or_create(source=source, code=code)
        Event.objects.create(actor=actor, verb="undo-repair", subject=str(import_id), data={"code": code})


def restore_repair(import_id: int, code: str, actor: str) -> None:
    """Make a repair count again that was taken back."""
    from django.db import transaction

    from browline.store.models import Event, UndoneRepair

    with transaction.atomic():
        UndoneRepair.objects.filter(source_id=import_id, code=code).delete()
        Event.objects.create(actor=actor, verb="restore-repair", subject=str(import_id), data={"code": code})


def _look(source: Source, table: Table, kind: str | None) -> TableLook:
    from browline.store.importing.looking import profiles_of, settle_order

    profiles, sample = profiles_of(table)
    if source.format == "fhir":
        mapping = _fhir_mapping(table)
        reasons = dict.fromkeys(mapping.columns, "the standard says so")
        return TableLook(
            table.label, "readings", table.headings, Guess(mapping, reasons, (), ()), sample, (), table.notes
        )
    saved = _saved(table)
    kind = kind or (saved.kind if saved else recognise(profiles))
    guess, questions = propose(kind, profiles, saved), ()
    try:
        settled = settle_order(table, guess.mapping, decided=bool(saved and saved.date_order))
        guess = replace(guess, mapping=settled)
    except Undecided as asked:
        questions = (Question("date_order", asked.question, asked.choices),)
    return TableLook(table.label, kind, table.headings, guess, sample, questions, table.notes)


def _decide_all(source: Source, kind: str | None, given: Any) -> tuple[Source, list[Mapping]]:
    """The source with the tables that are ours, and their mappings; other sheets are left out and noted."""
    tables, mappings, refusals = [], [], []
    for table in source.tables:
        try:
            mappings.append(_decide(source, table, kind, given))
            tables.append(table)
        except (NotUnderstood, Undecided):
            raise
        except InputRefused as refusal:
            refusals.append((table, refusal))
    if not tables:
        raise refusals[0][1]
    left_out = tuple(
        f"{t.label.capitalize()} holds no table that browline knows and was left out." for t, _ in refusals
    )
    tables[0] = replace(tables[0], notes=(*tables[0].notes, *left_out))
    return replace(source, tables=tuple(tables)), mappings


def _refuse_other_clock(source: Source, zone: str | None) -> None:
    """Refuse a file that is here already under another clock: every reading would come in a second time."""
    from browline.store.models import Import

    here = Import.objects.filter(digest=source.digest, kind="readings", undone=None, taken__gt=0).first()
    if here is not None and here.zone != (zone or ""):
        clock = f"the zone {here.zone}" if here.zone else "its times taken as they stand"
        raise InputRefused(
            f"This file is already in the book, read with {clock}.",
            "Read with another clock, every reading would come in a second time.",
            "Take that import back on the Readings page first, then bring the file again.",
        )


def _fhir_mapping(table: Table) -> Mapping:
    """FHIR cells come under canonical names, so nothing is guessed; columns without any text are not mapped."""
    from browline.store.importing.looking import profiles_of

    profiles, _ = profiles_of(table)
    known = {c.name for c in KINDS["readings"]}
    columns = {
        p.heading: p.heading
        for p in profiles
        if p.heading in known and (p.filled or p.heading in ("time", "value"))
    }
    return Mapping("readings", columns, date_order="ymd")


def _decide(source: Source, table: Table, kind: str | None, given: Any) -> Mapping:
    from browline.store.importing.looking import profiles_of, settle_order

    if kind is not None and kind not in KINDS:
        raise NotUnderstood(f"{kind!r} is not a kind.", f"The kinds are {', '.join(KINDS)}.", "Mend --as.")
    mapping = given if isinstance(given, Mapping) else (given or {}).get(table.label)
    if mapping is None and source.format == "fhir":
        return _fhir_mapping(table)
    saved = _saved(table)
    decided = mapping is not None or (saved is not None and saved.kind == (kind or saved.kind))
    if mapping is None:
        profiles, _ = profiles_of(table)
        kind = kind or (saved.kind if saved else recognise(profiles))
        mapping = propose(kind, profiles, saved).mapping
    _complete(mapping, table)
    return settle_order(table, mapping, decided=decided and mapping.date_order is not None)


def _complete(mapping: Mapping, table: Table) -> None:
    absent = [h for h in mapping.columns.values() if h not in table.headings]
    if absent:
        raise NotUnderstood(
            f"The mapping names {len(absent)} heading(s) that this file does not have.",
            "Every heading on its right-hand side must stand in the file.",
            "Mend the mapping, or leave it out to have one proposed.",
        )
    if mapping.missing():
        raise NotUnderstood(
            f"No column for {' and '.join(mapping.missing())} was found.",
            f"A file of {mapping.kind} needs it.",
            "Say which heading holds it with --map FILE.toml, or on the Readings page.",
        )


def _saved(table: Table) -> Mapping | None:
    from browline.store.models import SavedMapping

    kept = SavedMapping.objects.filter(signature=signature(table.headings)).first()
    return from_toml(kept.toml) if kept else None


def _prepare(
    book: Book, source: Source, mappings: list[Mapping], zone: str | None, progress: Progress
) -> list[Any]:
    from browline.store.importing.readings import prepare_readings
    from browline.store.importing.registers import prepare_register
    from browline.store.readings import reading_files

    here, prepared = list(reading_files(book).values()), []
    for table, mapping in zip(source.tables, mappings, strict=True):
        known = _known(book, source, table, mapping, zone)
        if mapping.kind == "readings":
            made = prepare_readings(book, table, mapping, known, here, progress)
            here += [book.readings / made.readings_file] if made.readings_file else []
        else:
            made = prepare_register(table, mapping, known)
        prepared.append(made)
    return prepared


def _known(book: Book, source: Source, table: Table, mapping: Mapping, zone: str | None) -> Any:
    from browline.store.importing.staging import Known
    from browline.store.keys import read_key
    from browline.store.models import Instrument, Person, WardAlias

    aliases = dict(WardAlias.objects.values_list("alias", "ward")) | mapping.ward_aliases
    units = dict(Instrument.objects.filter(listed=True).values_list("name", "unit"))
    people = tuple(Person.objects.filter(listed=True).values_list("identifier", flat=True))
    return Known(
        read_key(book.identity),
        units,
        people,
        aliases,
        zone or mapping.zone,
        table.dates == 1904,
        source.format == "fhir",
    )


def _commit_if_new(
    book: Book,
    source: Source,
    prepared: list[Any],
    mappings: list[Mapping],
    zone: str | None,
    actor: str,
    notes: list[str],
) -> list[Any]:
    from browline.store.importing.commit import changes_something, commit
    from browline.store.importing.files import sweep
    from browline.store.keys import read_key

    if not changes_something(source, prepared):
        sweep(book)
        return []
    return commit(source, prepared, mappings, read_key(book.identity), zone, actor, notes)


def _silent(done: int, total: int, message: str) -> None:
    """Progress that nobody watches."""
