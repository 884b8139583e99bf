"""A roster made ready for the book: who each line means, what each cell says, and what stands already.

    entries --people, codes--> wanted turns --against the turns in the book--> taken | already here | set aside

A newer file takes the place of what an older one said of the same people, days and wards. Codes that nobody has
settled are kept as turns of no kind, counted as set aside, and become what they stand for once settled.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from browline import display
from browline.intake.roster.codes import Codes, Duty, kind_by_hours, read_cell
from browline.intake.roster.staff_heading import Entry
from browline.intake.times import read_time
from browline.intake.wards import plain_ward
from browline.shifts import ON_DUTY
from browline.store.importing.roster.people import People

Day = tuple[int, date]
# Common practice, no source: early and late turns overlap by up to two hours, also where somebody works both.
HANDOVER = timedelta(hours=2)


@dataclass(frozen=True)
class Turn:
    """One turn as it is to stand in the book; `start` and `end` are instants, None on days away."""

    ward: str
    code: str
    kind: str
    start: datetime | None
    end: datetime | None


@dataclass
class Reading:
    """What a file says: turns by person (a number of `People`) and day with their rows, and what is set aside."""

    turns: dict[Day, dict[Turn, int]] = field(default_factory=lambda: defaultdict(dict))
    rows: list[tuple[int, Day, tuple[Turn, ...]]] = field(default_factory=list)
    aside: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    unknown: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    wards: set[str] = field(default_factory=set)


def read_entries(
    entries: Iterable[Entry], people: People, codes: Codes, wards: Collection[str], clock: "Clock"
) -> Reading:
    """Read every entry; a grid's blank cells only say that the person has that day, so that older turns go."""
    reading = Reading()
    for entry in entries:
        if not entry.cell.strip() and not entry.start:
            _blank(reading, entry, people, clock)
            continue
        reason, person = people.who(entry)
        if reason or entry.day is None:
            reading.aside[reason or "time-unread"].append(entry.row)
            continue
        home = clock.ward(entry.ward) or people.home(person) or clock.default_ward
        reading.wards.add(clock.ward(entry.ward) or clock.default_ward)
        turns = tuple(clock.turn(entry.day, d, home) for d in _duties(entry, codes, wards))
        _add(reading, entry, (person, entry.day), turns)
    return reading


def _blank(reading: Reading, entry: Entry, people: People, clock: "Clock") -> None:
    person = people.known(entry)
    if entry.day is not None and person is not None:
        reading.turns[person, entry.day]  # The day is told, with no turn in it.
        reading.wards.add(clock.ward(entry.ward) or clock.default_ward)


def _add(reading: Reading, entry: Entry, day: Day, turns: tuple[Turn, ...]) -> None:
    day_turns = reading.turns[day]
    if any(overlap(new, old.start, old.end) and new.ward != old.ward for new in turns for old in day_turns):
        reading.aside["two-places"].append(entry.row)
        return
    for turn in turns:
        day_turns.setdefault(turn, entry.row)
    unsettled = [turn.code for turn in turns if not turn.kind]
    for code in unsettled:
        reading.unknown[code] += 1
    if unsettled:
        reading.aside["code-unknown"].append(entry.row)
    else:
        reading.rows.append((entry.row, day, turns))


def overlap(turn: Turn, start: datetime | None, end: datetime | None) -> bool:
    """Whether a turn and other hours cannot both be worked: they overlap by more than a handover."""
    if turn.start is None or turn.end is None or start is None or end is None:
        return False
    return min(turn.end, end) - max(turn.start, start) > HANDOVER


def _duties(entry: Entry, codes: Codes, wards: Collection[str]) -> tuple[Duty, ...]:
    """The turns of an entry; hours in columns of their own come before those of the code."""
    start, end = _clock_text(entry.start), _clock_text(entry.end)
    duties = read_cell(entry.cell, codes, wards)
    if start is None or end is None:
        return duties
    if not duties:
        return (
            Duty(
                f"{display.time_of_day(start)}-{display.time_of_day(end)}",
                kind_by_hours(start, end),
                start,
                end,
            ),
        )
    first = duties[0]
    kind = first.kind if first.kind in ON_DUTY else first.kind or kind_by_hours(start, end)
    begin, finish = (start, end) if kind in ON_DUTY else (None, None)
    return (Duty(code=first.code, kind=kind, start=begin, end=finish, ward=first.ward),)


def _clock_text(text: str) -> time | None:
    """A time of day, alone or behind a date."""
    if not text:
        return None
    for whole in (f"2000-01-01 {text}", text):
        read = read_time(whole, "dmy")
        if read.when is not None and read.reason is None:
            return read.when.time()
    return None


@dataclass(frozen=True)
class Clock:
    """The hospital's zone and ward names: a turn's hours as instants; a night belongs to the day it begins."""

    zone: ZoneInfo
    aliases: Mapping[str, str]
    default_ward: str = ""

    def ward(self, text: str) -> str:
        """A ward's name as the book has it."""
        plain = plain_ward(text) if text.strip() else ""
        return self.aliases.get(plain, plain)

    def turn(self, day: date, duty: Duty, home: str) -> Turn:
        """A duty of one day as a turn."""
        ward = (self.ward(duty.ward) or home)[:80]
        start, end = hours(day, duty.start, duty.end, self.zone)
        return Turn(ward=ward, code=duty.code, kind=duty.kind, start=start, end=end)


def hours(day: date, start: time | None, end: time | None, zone: ZoneInfo) -> tuple[Any, Any]:
    """The instants of a turn by the wall clock, which runs an hour more or less where the clocks change."""
    if start is None or end is None:
        return None, None
    until = day if end > start else day + timedelta(days=1)
    return datetime.combine(day, start, zone), datetime.combine(until, end, zone)
