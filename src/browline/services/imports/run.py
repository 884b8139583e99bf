"""Taking files into the book: look first, then take; every deed is one transaction and has a receipt."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from browline.errors import InputRefused, NoTimes, NotUnderstood, Undecided
from browline.intake import Guess, Mapping, Profile, propose, recognise
from browline.services.book.clock import local_day
from browline.services.book.preferences import choice, is_zone
from browline.services.imports.mapping import (
    NOTHING_SAID,
    Given,
    Said,
    decide_all,
    fhir_mapping,
    refuse_other_clock,
    refuse_other_order,
    refuse_what_is_no_body,
    saved_mapping,
    settle,
)
from browline.services.imports.receipts import Receipt, notes_of, receipt_of
from browline.services.imports.strays import note_of_strays
from browline.services.training.roster import is_roster, take_roster
from browline.store.folder import Book
from browline.store.importing.commit import changes_something, commit
from browline.store.importing.files import import_lock, let_go, strays
from browline.store.importing.looking import profiles_of
from browline.store.importing.readings import Prepared, prepare_readings
from browline.store.importing.registers import prepare_register
from browline.store.importing.staging import Known
from browline.store.keys import read_key
from browline.store.models import Import, Instrument, Person, WardAlias
from browline.store.readings import reading_files
from browline.store.sources import Source, Table, open_file

Progress = Callable[[int, int, str], None]


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
    if kind is None and is_roster(path, local_day(datetime.now(UTC))):
        raise InputRefused(
            "This file is a roster.",
            "It has no headings to be mapped: it is read by its days, and its codes are settled once.",
            "Bring it in on the Roster page under Teaching, or with browline import.",
        )
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
    mapping: Given = None,
    zone: str | None = None,
    said: Said = NOTHING_SAID,
    actor: str = "educator",
    progress: Progress | None = None,
) -> Receipt:
    """Take a file into the book and return its receipt; all of it or nothing.

    `mapping` may be one for every table or one per label; what is not given is remembered from the last
    file with these headings, else proposed; the order of dates is never remembered. Raises `Undecided` where only a
    person can say, and takes her answer in `said`.
    """
    today = local_day(datetime.now(UTC))
    if kind == "roster" or (kind is None and mapping is None and is_roster(path, today)):
        return take_roster(book, path, today=today, zone=zone, actor=actor)
    zone = zone or choice("zone") or None
    if zone and not is_zone(zone):
        raise NotUnderstood(f"{zone!r} is not a time zone.", "Zones look like Europe/London.", "Mend --zone.")
    progress = progress or _silent
    source = open_file(path, progress=lambda done, total: progress(done, total, "reading the file"))
    with import_lock(book):
        source, mappings = decide_all(source, kind, mapping, said)
        refuse_other_clock(source, zone)
        refuse_other_order(source, mappings)
        unnamed = strays(book)
        prepared = _prepare(book, source, mappings, zone, said, progress)
        notes = notes_of(source, prepared, zone, datetime.now(UTC)) + note_of_strays(unnamed)
        made = _commit_if_new(book, source, prepared, mappings, zone, actor, notes)
    return receipt_of(path.name, prepared, mappings, made, notes, unnamed)


def _look(source: Source, table: Table, kind: str | None) -> TableLook:
    profiles, sample = profiles_of(table)
    if source.format == "fhir":
        mapping = fhir_mapping(table)
        reasons = dict.fromkeys(mapping.columns, "the standard says so")
        return TableLook(
            label=table.label,
            kind="readings",
            headings=table.headings,
            guess=Guess(mapping, reasons, (), ()),
            sample=sample,
            questions=(),
            notes=table.notes,
        )
    saved = saved_mapping(table)
    kind = kind or (saved.kind if saved else _kind_of(profiles))
    guess = propose(kind, profiles, saved)
    questions: tuple[Question, ...] = ()
    refuse_what_is_no_body(guess.mapping, profiles)
    try:
        guess = replace(guess, mapping=settle(table, guess.mapping, saved))
    except Undecided as asked:
        guess = replace(guess, mapping=replace(guess.mapping, date_order=None))
        questions = (Question("date_order", asked.question, asked.choices),)
    return TableLook(
        label=table.label,
        kind=kind,
        headings=table.headings,
        guess=guess,
        sample=sample,
        questions=questions,
        notes=table.notes,
    )


def _kind_of(profiles: tuple[Profile, ...]) -> str:
    """The kind of a table; temperatures without a time are readings, and the page asks where the time stands."""
    try:
        return recognise(profiles)
    except NoTimes:
        return "readings"


def _prepare(
    book: Book,
    source: Source,
    mappings: list[Mapping],
    zone: str | None,
    said: Said,
    progress: Progress,
) -> list[Prepared]:
    here: list[Path] = list(reading_files(book).values())
    prepared: list[Prepared] = []
    try:
        for table, mapping in zip(source.tables, mappings, strict=True):
            known = replace(_known(book, source, table, mapping, zone), vouched=said.people == "yes")
            prepared.append(_prepare_table(book, table, mapping, known, here, progress))
    except BaseException:
        let_go(book, _written(prepared))
        raise
    return prepared


def _prepare_table(
    book: Book, table: Table, mapping: Mapping, known: Known, here: list[Path], progress: Progress
) -> Prepared:
    """One table made ready; the readings it writes are added to those that are `here`."""
    if mapping.kind != "readings":
        return prepare_register(table, mapping, known)
    made = prepare_readings(book, table, mapping, known, here, progress)
    here += [book.readings / made.readings_file] if made.readings_file else []
    return made


def _written(prepared: list[Prepared]) -> list[str]:
    return [name for p in prepared for name in (p.readings_file, p.set_aside_file)]


def _known(book: Book, source: Source, table: Table, mapping: Mapping, zone: str | None) -> Known:
    aliases = dict(WardAlias.objects.values_list("alias", "ward")) | mapping.ward_aliases
    units = dict(Instrument.objects.filter(listed=True).values_list("name", "unit"))
    people = tuple(Person.objects.filter(listed=True).values_list("identifier", flat=True))
    return Known(
        key=read_key(book.identity),
        instruments=units,
        people=people,
        ward_aliases=aliases,
        zone=zone or mapping.zone,
        excel_1904=table.dates == 1904,
        canonical=source.format == "fhir",
    )


def _commit_if_new(
    book: Book,
    source: Source,
    prepared: list[Prepared],
    mappings: list[Mapping],
    zone: str | None,
    actor: str,
    notes: list[str],
) -> list[Import]:
    if not changes_something(source, prepared):
        let_go(book, _written(prepared))
        return []
    return commit(source, prepared, mappings, read_key(book.identity), zone, actor, notes)


def _silent(done: int, total: int, message: str) -> None:
    """Progress that nobody watches."""
