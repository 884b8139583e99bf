"""The roster: looked at, and taken into the book as a whole with a receipt."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

from browline.errors import InputRefused
from browline.intake import REASONS, REPAIRS
from browline.intake.roster import looks_like_roster, read_roster
from browline.intake.roster.same_names import same_names
from browline.services.imports.receipts import WHOLE, Receipt
from browline.services.imports.strays import note_of_strays
from browline.services.training.roster.shift_codes import codes, zone_of
from browline.store.folder import Book
from browline.store.importing.files import import_lock, strays
from browline.store.importing.readings import EXAMPLES
from browline.store.importing.roster import Clock, read_entries
from browline.store.importing.roster.commit import plan, write
from browline.store.importing.roster.people import People
from browline.store.importing.roster.rows import first_rows, open_roster
from browline.store.importing.roster.same_names import ASIDE, TWO, set_apart, told_before
from browline.store.keys import read_key
from browline.store.models import Import, Instrument, Person, Shift, WardAlias

NO_ANSWERS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True)
class SameName:
    """A name that stands in lines apart, without an identifier: `key` for the answer, `posts` in words."""

    key: str
    name: str
    posts: tuple[str, ...]


@dataclass(frozen=True)
class RosterLook:
    """What a roster says before it is taken: days, wards, people, and how often each code stands in it."""

    layout: str
    first: date | None
    last: date | None
    wards: tuple[str, ...]
    people: int
    new_people: int
    settled: tuple[tuple[str, int], ...]
    unsettled: tuple[tuple[str, int], ...]
    aside: Mapping[str, int]
    same_names: tuple[SameName, ...] = ()


def look_at_roster(
    book: Book, path: Path, *, today: date, zone: str | None = None, ward: str = ""
) -> RosterLook:
    """What would come of taking this file whole; nothing is written. `today` settles a year that is not written."""
    _, layout, said, people, same = _read(path, today, zone, ward, NO_ANSWERS, TWO)
    days = [day for _, day in said.turns]
    known = Counter(t.code for _, _, turns in said.rows for t in turns)
    return RosterLook(
        layout,
        min(days, default=None),
        max(days, default=None),
        tuple(sorted(said.wards - {""})),
        len({person for person, _ in said.turns}),
        len(people.new),
        tuple(known.most_common()),
        tuple(sorted(said.unknown.items(), key=lambda item: -item[1])),
        {code: len(rows) for code, rows in said.aside.items()},
        tuple(SameName(name, posts[0].name, tuple(p.told for p in posts)) for name, posts in same.items()),
    )


def take_roster(
    book: Book,
    path: Path,
    *,
    today: date,
    zone: str | None = None,
    ward: str = "",
    answers: Mapping[str, str] = NO_ANSWERS,
    actor: str = "educator",
) -> Any:
    """Take a roster into the book and return its receipt; all of it or nothing.

    `ward`: where the file does not say whose roster it is and somebody's home ward is not known. `answers`: whether
    lines of one name are one person or two, by the key of a `SameName`; without one the later lines are set aside.
    """
    from django.db import transaction

    made = None
    with import_lock(book):
        unnamed = strays(book)
        file, layout, said, people, _ = _read(path, today, zone, ward, answers)
        with transaction.atomic():
            change = plan(said, file.digest)
            facts = _facts(file, said, people, change, layout, zone)
            facts["notes"] += note_of_strays(unnamed)
            if change.taken or change.drop or change.add or not _seen(file.digest):
                made = write(said, people, change, facts, read_key(book.identity), actor)
    return _receipt(path.name, facts, change, made, unnamed)


def is_roster(path: Path, today: date) -> bool:
    """Whether a file that nobody said the kind of is a roster; looks at its first rows only."""
    return any(looks_like_roster(rows, today) for rows in first_rows(path))


def _read(
    path: Path, today: date, zone: str | None, ward: str, answers: Mapping[str, str], unanswered: str = ""
) -> tuple[Any, ...]:
    """The file, its layout, what it says, whom it means, and the names in lines apart that are to be asked about.

    A name that `answers` say nothing of is taken as `unanswered`; as nothing, its later lines are set aside.
    """
    file, wards = open_roster(path), known_wards()
    reads = [r for rows in file.sheets if (r := read_roster(rows, today, sorted(wards))) is not None]
    if not any(read.entries for read in reads):
        raise InputRefused(
            "No roster was found in this file.",
            "A roster has staff down and days across, or a row for each person, date and shift under such headings.",
            "Check that the row of days, or the headings, are in the file.",
        )
    clock = Clock(zone_of(zone), dict(WardAlias.objects.values_list("alias", "ward")), ward)
    people, same = People(clock.ward), same_names(reads)
    known = {name: TWO for name, posts in same.items() if told_before(posts, people)}
    settled = {name: answers.get(name) or unanswered for name in same} | known
    entries, aside = set_apart([e for read in reads for e in read.entries], same, settled, people)
    said = read_entries(entries, people, codes(), wards, clock)
    if aside:
        said.aside[ASIDE] += aside
    asked = {name: posts for name, posts in same.items() if name not in known}
    return file, reads[0].layout, said, people, asked


def known_wards() -> set[str]:
    """Wards by which floats and sections are known: of people, of instruments, of earlier turns."""
    sources: tuple[Any, ...] = (Person, Instrument, Shift)
    names = {w for model in sources for w in model.objects.values_list("ward", flat=True).distinct()}
    names |= {w for pair in WardAlias.objects.values_list("alias", "ward") for w in pair}
    return names - {""}


def _seen(digest: str) -> bool:
    return Import.objects.filter(kind="roster", digest=digest).exists()


def _facts(file: Any, said: Any, people: Any, change: Any, layout: str, zone: str | None) -> dict[str, Any]:
    """The row of the import, but for what came of it."""

    def counted(role: str, code: str, count: int, rows: list[int]) -> dict[str, Any]:
        return {"role": role, "code": code, "count": count, "example_rows": sorted(set(rows))[:EXAMPLES]}

    aside = sum(len(rows) for rows in said.aside.values())
    reasons = [counted("reason", code, len(rows), rows) for code, rows in sorted(said.aside.items())]
    reasons += [counted("note", code, len(rows), rows) for code, rows in sorted(people.repairs.items())]
    repaired = sum(len(rows) for rows in people.repairs.values())
    if change.drop:
        reasons.append(counted("note", "roster-replaced", len(change.drop), []))
    starts = [turn.start for turns in said.turns.values() for turn in turns if turn.start is not None]
    return {
        "label": f"{file.format.upper()} {file.digest[:6]}",
        "digest": file.digest,
        "rows": change.taken + change.already_here + aside,
        "set_aside": aside,
        "repaired": repaired,
        "mapping": {
            "columns": {},
            "filled": ["person", "date", "shift"],
            "wards": sorted(said.wards),
            "layout": layout,
        },
        "reasons": reasons,
        "notes": _notes(said, change, layout),
        "zone": zone or "",
        "first": min(starts, default=None),
        "last": max(starts, default=None),
    }


def _notes(said: Any, change: Any, layout: str) -> list[str]:
    """How the roster was read, for her to check, and what is left to do."""
    days = [day for _, day in said.turns]
    read = {"grid": "staff down and days across", "list": "a row for each person and day"}[layout]
    notes = [f"Read as {read}; rows are counted as person-days."]
    if days:
        notes.append(f"Days from {min(days):%d %b %Y} to {max(days):%d %b %Y}. Is the year right?")
    if said.unknown:
        codes = ", ".join(f"{code} ({n})" for code, n in sorted(said.unknown.items()))
        notes.append(f"Codes that nobody has settled: {codes}. Say on the Roster page what they stand for.")
    if lines := len(set(said.aside.get("two-rows-one-name", ()))):
        notes.append(
            f"{lines} line{'s' * (lines > 1)} of a name that an earlier line bears were not taken. Bring the file on "
            "the Roster page and say there whose they are, or have it sent with staff numbers."
        )
    if change.drop:
        notes.append(f"{len(change.drop)} turns of an older roster were replaced.")
    return notes


def _receipt(name: str, facts: dict[str, Any], change: Any, made: Any, unnamed: tuple[str, ...]) -> Any:
    sentences = {**REASONS, **REPAIRS}
    entry = {
        "file": WHOLE if name.isdigit() else name,
        "kind": "roster",
        "rows": facts["rows"],
        "taken": change.taken,
        "already_here": change.already_here,
        "set_aside": facts["set_aside"],
        "repaired": facts["repaired"],
        "mapping": {},
        "reasons": [
            {**{k: r[k] for k in ("code", "count", "example_rows")}, "sentence": sentences[r["code"]]}
            for r in facts["reasons"]
        ],
    }
    can = ("Who is on duty, when and where, and whom a session can reach.",)
    return Receipt((entry,), can, (), (), tuple(facts["notes"]), (made.pk,) if made else (), unnamed)
