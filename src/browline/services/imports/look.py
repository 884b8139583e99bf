"""A first look at a file of tables: how each would be read, and what has to be asked. Nothing is taken."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from browline.errors import InputRefused, NoTimes, Undecided
from browline.intake import Guess, Profile, propose, recognise
from browline.services.book.clock import local_day
from browline.services.imports.mapping import fhir_mapping, refuse_bodiless, saved_mapping, settle
from browline.services.imports.run import choose_reader
from browline.store.folder import Book
from browline.store.importing.looking import column_profiles
from browline.store.sources import Source, Table, open_file


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


def preview(book: Book, path: Path, *, kind: str | None = None) -> tuple[TableLook, ...]:
    """What browline would make of a file: per table its kind, its mapping and what it has to ask."""
    if choose_reader(kind, path, local_day(datetime.now(UTC))) == "grid":
        raise InputRefused(
            "This file is a roster.",
            "It has no headings to be mapped: it is read by its days, and its codes are settled once.",
            "Bring it in on the Roster page under Teaching, or with browline import.",
        )
    source = open_file(path)
    looks, refusals = [], []
    for table in source.tables:
        try:
            looks.append(_look_table(source, table, kind))
        except InputRefused as refusal:
            refusals.append(refusal)
    if not looks:
        raise refusals[0]
    return tuple(looks)


def _look_table(source: Source, table: Table, kind: str | None) -> TableLook:
    profiles, sample = column_profiles(table)
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
    kind = kind or (saved.kind if saved else _kind(profiles))
    guess = propose(kind, profiles, saved)
    questions: tuple[Question, ...] = ()
    refuse_bodiless(guess.mapping, profiles)
    try:
        guess = replace(guess, mapping=settle(table, guess.mapping, saved))
    except Undecided as undecided:
        guess = replace(guess, mapping=replace(guess.mapping, date_order=None))
        questions = (Question("date_order", undecided.question, undecided.choices),)
    return TableLook(
        label=table.label,
        kind=kind,
        headings=table.headings,
        guess=guess,
        sample=sample,
        questions=questions,
        notes=table.notes,
    )


def _kind(profiles: tuple[Profile, ...]) -> str:
    """The kind of a table; temperatures without a time are readings, and the page asks where the time stands."""
    try:
        return recognise(profiles)
    except NoTimes:
        return "readings"
