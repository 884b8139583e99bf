"""The roster: looked at, and taken into the book as a whole with a receipt."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple, TypedDict

from browline.errors import InputRefused
from browline.intake import REASONS, REPAIRS
from browline.intake.roster import looks_like_roster, read_roster
from browline.intake.roster.same_names import Post, same_names
from browline.services.imports.entries import FileEntry
from browline.services.imports.receipts import WHOLE, Receipt
from browline.services.imports.strays import note_of_strays
from browline.services.training.roster.shift_codes import codes, zone_of
from browline.store.folder import Book
from browline.store.importing.files import import_lock, strays
from browline.store.importing.readings import EXAMPLES
from browline.store.importing.roster import Clock, Reading, read_entries
from browline.store.importing.roster.commit import Plan, plan, write
from browline.store.importing.roster.people import People
from browline.store.importing.roster.rows import RosterFile, first_rows, open_roster
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


class Opened(NamedTuple):
    """A roster read: the file, its layout, what it says, whom it means, the names in lines apart to be asked about."""

    file: RosterFile
    layout: str
    said: Reading
    people: People
    same_names: dict[str, list[Post]]


class Counted(TypedDict):
    """A reason or a note as the row of an import keeps it."""

    role: str
    code: str
    count: int
    example_rows: list[int]


class Facts(TypedDict):
    """The row of an import, but for what came of it."""

    label: str
    digest: str
    rows: int
    set_aside: int
    repaired: int
    mapping: dict[str, object]
    reasons: list[Counted]
    notes: list[str]
    zone: str
    first: datetime | None
    last: datetime | None


def look_at_roster(
    book: Book, path: Path, *, today: date, zone: str | None = None, ward: str = ""
) -> RosterLook:
    """What would come of taking this file whole; nothing is written. `today` settles a year that is not written."""
    _, layout, said, people, same = _read(path, today, zone, ward, NO_ANSWERS, TWO)
    days = [day for _, day in said.turns]
    known = Counter(t.code for _, _, turns in said.rows for t in turns)
    return RosterLook(
        layout=layout,
        first=min(days, default=None),
        last=max(days, default=None),
        wards=tuple(sorted(said.wards - {""})),
        people=len({person for person, _ in said.turns}),
        new_people=len(people.new),
        settled=tuple(known.most_common()),
        unsettled=tuple(sorted(said.unknown.items(), key=lambda item: -item[1])),
        aside={code: len(rows) for code, rows in said.aside.items()},
        same_names=tuple(
            SameName(name, posts[0].name, tuple(p.told for p in posts)) for name, posts in same.items()
        ),
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
) -> Receipt:
    """Take a roster into the book and return its receipt; all of it or nothing.

    `ward`: where the file does not say whose roster it is and somebody's home ward is not known. `answers`: whether
    lines of one name are one person or two, by the key of a `SameName`; without one the later lines are set aside.
    """
    from django.db import transaction

    made = None
    with import_lock(book):
        unnamed = strays(book)
        opened = _read(path, today, zone, ward, answers)
        file, _, said, people, _ = opened
        with transaction.atomic():
            change = plan(said, file.digest)
            facts = _facts(opened, change, zone)
            facts["notes"] += note_of_strays(unnamed)
            if change.taken or change.drop or change.add or not _seen(file.digest):
                made = write(said, people, change, dict(facts), read_key(book.identity), actor)
    return _receipt(path.name, facts, change, made, unnamed)


def is_roster(path: Path, today: date) -> bool:
    """Whether a file that nobody said the kind of is a roster; looks at its first rows only."""
    return any(looks_like_roster(rows, today) for rows in first_rows(path))


def _read(
    path: Path, today: date, zone: str | None, ward: str, answers: Mapping[str, str], unanswered: str = ""
) -> Opened:
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
    return Opened(file=file, layout=reads[0].layout, said=said, people=people, same_names=asked)


def known_wards() -> set[str]:
    """Wards by which floats and sections are known: of people, of instruments, of earlier turns."""
    sources = (Person.objects, Instrument.objects, Shift.objects)
    names = {w for rows in sources for w in rows.values_list("ward", flat=True).distinct()}
    names |= {w for pair in WardAlias.objects.values_list("alias", "ward") for w in pair}
    return names - {""}


def _seen(digest: str) -> bool:
    return Import.objects.filter(kind="roster", digest=digest).exists()


def _facts(opened: Opened, change: Plan, zone: str | None) -> Facts:
    """The row of the import, but for what came of it."""

    def counted(role: str, code: str, count: int, rows: list[int]) -> Counted:
        return {"role": role, "code": code, "count": count, "example_rows": sorted(set(rows))[:EXAMPLES]}

    file, layout, said, people, _ = opened
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


def _notes(said: Reading, change: Plan, layout: str) -> list[str]:
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


def _receipt(name: str, facts: Facts, change: Plan, made: Import | None, unnamed: tuple[str, ...]) -> Receipt:
    sentences = {**REASONS, **REPAIRS}
    entry: FileEntry = {
        "file": WHOLE if name.isdigit() else name,
        "kind": "roster",
        "rows": facts["rows"],
        "taken": change.taken,
        "already_here": change.already_here,
        "set_aside": facts["set_aside"],
        "repaired": facts["repaired"],
        "mapping": {},
        "reasons": [
            {
                "code": r["code"],
                "count": r["count"],
                "example_rows": r["example_rows"],
                "sentence": sentences[r["code"]],
            }
            for r in facts["reasons"]
        ],
    }
    can = ("Who is on duty, when and where, and whom a session can reach.",)
    return Receipt(
        files=(entry,),
        can_answer=can,
        cannot_answer=(),
        requests=(),
        notes=tuple(facts["notes"]),
        imports=(made.pk,) if made else (),
        strays=unnamed,
    )
