"""A roster against the turns in the book, and the one transaction that writes it.

What a newer file says of a person's day takes the place of what an older one said, as far as the newer speaks
for the ward: a roster of Maple says nothing of turns that Oak's roster gave the same person, unless the hours
overlap. A file that was here before keeps its age: brought again, it replaces nothing newer.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from browline.columns.roster import ROSTER
from browline.shifts import ON_DUTY
from browline.store.importing.roster import Day, Reading, Turn, overlap
from browline.store.importing.roster.people import People
from browline.store.keys import pseudonym
from browline.store.models import Import, Person, Shift

KIND = ROSTER.id
BATCH = 500


@dataclass
class Plan:
    """What is to change: turns to add, turns (primary keys) to take away, and how the entries count."""

    add: list[tuple[Day, Turn]] = field(default_factory=list)
    drop: list[int] = field(default_factory=list)
    taken: int = 0
    already_here: int = 0


def plan(reading: Reading, digest: str) -> Plan:
    """Hold what the file says against the book."""
    age = Import.objects.filter(kind=KIND, digest=digest).order_by("pk").values_list("pk", flat=True).first()
    stored, import_wards = _stored_shifts(reading), _import_wards()
    plan, fresh = Plan(), {}
    for day, turns in reading.turns.items():
        shifts = stored.get(day, [])
        newer = age is not None and any(s.source_id is not None and s.source_id > age for s in shifts)
        old = {_turn(s): s.pk for s in shifts}
        fresh[day] = set() if newer else set(turns) - set(old)
        if newer:
            continue
        plan.add += [(day, turn) for turn in turns if turn in fresh[day]]
        gone = [
            s for s in shifts if _turn(s) not in turns and _replaced(s, turns, reading.wards, import_wards)
        ]
        plan.drop += [s.pk for s in gone]
    for _, day, row_turns in reading.rows:
        new = any(turn in fresh[day] for turn in row_turns)
        plan.taken += new
        plan.already_here += not new
    return plan


def _stored_shifts(reading: Reading) -> dict[Day, list[Shift]]:
    """The turns in the book of the people and days that the file tells of."""
    known = sorted({person for person, _ in reading.turns if person > 0})
    days = [day for _, day in reading.turns]
    shifts: dict[Day, list[Shift]] = defaultdict(list)
    for start in range(0, len(known), BATCH):
        some = known[start : start + BATCH]
        for shift in Shift.objects.filter(person__in=some, date__range=(min(days), max(days))):
            shifts[shift.person_id, shift.date].append(shift)
    return shifts


def _import_wards() -> dict[int, set[str]]:
    imports = Import.objects.filter(kind=KIND).values_list("pk", "mapping")
    return {number: set(mapping.get("wards", ())) for number, mapping in imports}


def _turn(shift: Shift) -> Turn:
    return Turn(ward=shift.ward, code=shift.code, kind=shift.kind, start=shift.start, end=shift.end)


def _replaced(
    shift: Shift, turns: Iterable[Turn], wards: set[str], import_wards: dict[int, set[str]]
) -> bool:
    """Whether a standing turn goes: the file speaks for its ward, or has the person elsewhere at its hours."""
    theirs = import_wards.get(shift.source_id or 0, set())
    if not wards - {""} or not theirs - {""} or shift.ward in wards or shift.ward == "":
        return True
    if shift.ward not in theirs and theirs & wards:
        return True
    return shift.kind in ON_DUTY and any(overlap(turn, shift.start, shift.end) for turn in turns)


def write(reading: Reading, people: People, change: Plan, key: bytes, source: Import) -> None:
    """Carry the plan out; call inside the transaction that is the import `source`."""
    numbers = _add_people(people, key)
    Shift.objects.filter(pk__in=change.drop).delete()
    Shift.objects.bulk_create(
        [_shift(numbers.get(person, person), day, turn, source) for (person, day), turn in change.add],
        batch_size=BATCH,
        ignore_conflicts=True,
    )


def _shift(person: int, day: date, turn: Turn, source: Import) -> Shift:
    return Shift(person_id=person, date=day, source=source, **vars(turn))


def _add_people(people: People, key: bytes) -> dict[int, int]:
    """Enter the people the file adds, on no list yet, and names that the book lacked; new number -> primary key."""
    numbers = {}
    for number, entry in people.new.items():
        text = (entry.identifier or entry.name)[:120]
        row, _ = Person.objects.get_or_create(
            identifier=text,
            defaults={
                "name": entry.name[:120],
                "pseudonym": pseudonym(key, "person", text),
                "role": entry.role[:80],
                "ward": people.entry_ward(entry)[:80],
                "listed": False,
            },
        )
        numbers[number] = row.pk
    for number, name in people.names.items():
        Person.objects.filter(pk=number, name="").update(name=name[:120])
    return numbers
