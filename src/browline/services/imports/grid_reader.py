"""The reader of rosters: staff down and days across, or a row for each person and day; taken into the book as a whole.

It is looked at first on the Roster page (`look_over_roster`); it comes in by the steps of every file.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import NamedTuple

from browline import display
from browline.columns.roster import ROSTER
from browline.errors import InputRefused
from browline.intake.roster import looks_like_roster, read_roster
from browline.intake.roster.same_names import Post, same_names
from browline.services.imports.reader import Request
from browline.services.imports.receipts import WHOLE
from browline.services.training.roster import known_wards
from browline.services.training.roster.shift_codes import choose_zone, codes
from browline.store.importing.readings import EXAMPLES, Counted, Prepared
from browline.store.importing.ready import Part, Ready
from browline.store.importing.roster import Clock, Reading, read_entries
from browline.store.importing.roster.commit import Plan, plan, write
from browline.store.importing.roster.people import People
from browline.store.importing.roster.rows import RosterFile, first_rows, open_roster
from browline.store.importing.roster.same_names import ASIDE, TWO, separate_before, set_apart
from browline.store.keys import read_key
from browline.store.models import Import, WardAlias


class Opened(NamedTuple):
    """A roster read: the file, its layout, what it says, whom it means, the names in lines apart to be asked about."""

    file: RosterFile
    layout: str
    reading: Reading
    people: People
    same_names: dict[str, list[Post]]


@dataclass(frozen=True)
class GridFile:
    """A roster that is open."""

    request: Request
    file: RosterFile

    def read(self) -> "GridEntries":
        """Read what it says, and whom it means."""
        opened = roster_entries(self.request, self.file)
        return GridEntries(opened, self.request.zone or "", read_key(self.request.book.identity))


@dataclass(frozen=True)
class GridEntries:
    """What a roster says, to be held against the turns of the book."""

    opened: Opened
    zone: str
    key: bytes

    def plan(self) -> Ready:
        """Which turns come and go, and how the entries count."""
        file, layout, reading, people, _ = self.opened
        change = plan(reading, file.digest)
        part = Part(
            prepared=_prepared(self.opened, change),
            columns={},
            filled=[column.name for column in ROSTER.columns if column.required],
            reading={"wards": sorted(reading.wards), "layout": layout},
            write=lambda source: write(reading, people, change, self.key, source),
        )
        before = Import.objects.filter(kind=ROSTER.id, digest=file.digest)
        return Ready(
            digest=file.digest,
            format=file.format,
            parts=(part,),
            notes=tuple(_notes(reading, change, layout)),
            zone=self.zone,
            changes=bool(change.taken or change.drop or change.add) or not before.exists(),
            event={"replaced": len(change.drop)},
        )


def open_grid(request: Request) -> GridFile:
    """Open a roster; refuses what is neither a workbook nor a text, and what is too large."""
    return GridFile(request, open_roster(request.path))


def is_roster(path: Path, today: date) -> bool:
    """Whether a file that nobody said the kind of is a roster; looks at its first rows only."""
    return any(looks_like_roster(rows, today) for rows in first_rows(path))


def roster_entries(request: Request, file: RosterFile, unanswered: str = "") -> Opened:
    """The file, its layout, what it says, whom it means, and the names in lines apart that are to be asked about.

    A name of which she said nothing is taken as `unanswered`; as nothing, its later lines are set aside.
    """
    today, answers, wards = request.today, request.answers.same_names, known_wards()
    reads = [r for rows in file.sheets if (r := read_roster(rows, today, sorted(wards))) is not None]
    if not any(read.entries for read in reads):
        raise InputRefused(
            "No roster was found in this file.",
            "A roster has staff down and days across, or a row for each person, date and shift under such headings.",
            "Check that the row of days, or the headings, are in the file.",
        )
    aliases = dict(WardAlias.objects.values_list("alias", "ward"))
    clock = Clock(choose_zone(request.zone), aliases, request.answers.ward)
    people, same = People(clock.ward), same_names(reads)
    known = {name: TWO for name, posts in same.items() if separate_before(posts, people)}
    by_name = {name: answers.get(name) or unanswered for name in same} | known
    entries, aside = set_apart([e for read in reads for e in read.entries], same, by_name, people)
    reading = read_entries(entries, people, codes(), wards, clock)
    if aside:
        reading.aside[ASIDE] += aside
    ambiguous = {name: posts for name, posts in same.items() if name not in known}
    return Opened(file=file, layout=reads[0].layout, reading=reading, people=people, same_names=ambiguous)


def _prepared(opened: Opened, change: Plan) -> Prepared:
    """How the entries of the file count, and why."""

    def counted(rows: Mapping[str, list[int]]) -> tuple[Counted, ...]:
        return tuple(
            Counted(code, len(n), tuple(sorted(set(n))[:EXAMPLES])) for code, n in sorted(rows.items())
        )

    reading, repairs = opened.reading, opened.people.repairs
    aside = sum(len(rows) for rows in reading.aside.values())
    replaced = (Counted("roster-replaced", len(change.drop), ()),) if change.drop else ()
    starts = [turn.start for turns in reading.turns.values() for turn in turns if turn.start is not None]
    return Prepared(
        table=WHOLE,
        kind=ROSTER.id,
        rows=change.taken + change.already_here + aside,
        taken=change.taken,
        already_here=change.already_here,
        set_aside=aside,
        repaired=sum(len(rows) for rows in repairs.values()),
        reasons=counted(reading.aside),
        repairs=(),
        remarks=counted(repairs) + replaced,
        first=min(starts, default=None),
        last=max(starts, default=None),
    )


def _notes(reading: Reading, change: Plan, layout: str) -> list[str]:
    """How the roster was read, for her to check, and what is left to do."""
    days = [day for _, day in reading.turns]
    read = {"grid": "staff down and days across", "list": "a row for each person and day"}[layout]
    notes = [f"Read as {read}; rows are counted as person-days."]
    if days:
        notes.append(f"Days from {display.day(min(days))} to {display.day(max(days))}. Is the year right?")
    if reading.unknown:
        codes = ", ".join(f"{code} ({n})" for code, n in sorted(reading.unknown.items()))
        notes.append(f"Codes that nobody has settled: {codes}. Say on the Roster page what they stand for.")
    if lines := len(set(reading.aside.get("two-rows-one-name", ()))):
        notes.append(
            f"{lines} line{'s' * (lines > 1)} of a name that an earlier line bears were not taken. Bring the file on "
            "the Roster page and say there whose they are, or have it sent with staff numbers."
        )
    if change.drop:
        notes.append(f"{len(change.drop)} turns of an older roster were replaced.")
    return notes
