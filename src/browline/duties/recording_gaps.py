"""What a record does not show, said before somebody else says it."""

from collections.abc import Iterator
from datetime import date

from browline.duties.recording import Assessor, Entry, Record
from browline.skills.explain import day


def gaps(record: Record) -> tuple[str, ...]:
    """Every gap of the record, in sentences; the person first, then each observation, latest first."""
    said = [*_person(record), *_observed(record)]
    for entry in record.entries:
        if not entry.withdrawn:
            said += _entry(record, entry)
    for brought in record.brought_in:
        said += _brought_in(brought.day, brought.assessor)
    return tuple(dict.fromkeys(said))


def _person(record: Record) -> Iterator[str]:
    for word, value in (("role", record.person.role), ("ward", record.person.ward)):
        if not value:
            yield f"The {word} of the person is not in the book."
    if not record.person.listed:
        yield "The person is not on the staff list."


def _observed(record: Record) -> Iterator[str]:
    if record.standing.last is None:
        yield "No observed demonstration is on record. Sessions attended are not counted."
    elif not any(not e.withdrawn for e in record.entries):
        yield "No demonstration with its steps is on record: the sign-off came in with a list."


def _entry(record: Record, entry: Entry) -> Iterator[str]:
    of = f"of {day(entry.day)}"
    if not entry.version.startswith("in force"):
        yield f"The checklist {of}, version {entry.checklist}, was not approved and in date: {entry.version}."
    if entry.taught == "" and entry.left:
        yield f"What was practised after the observation {of} is not written down."
    if entry.left and entry == record.entries[0]:
        yield f"No further observation after that {of} is on record."
    for word, value in (("ward", entry.ward), ("instrument", entry.instrument)):
        if not value:
            yield f"The {word} {of} is not written down."
    unseen = [step.name for step, mark in entry.steps if mark == "not-seen"]
    if unseen:
        yield f"Not seen {of}: {'; '.join(unseen)}."
    for assessor in filter(None, (entry.assessor, entry.second)):
        yield from _assessor(assessor, of)


def _brought_in(when: date, assessor: Assessor | None) -> Iterator[str]:
    of = f"of {day(when)}"
    yield f"The steps, the version of the checklist and the method {of} are not recorded: a record brought in."
    if assessor is None:
        yield f"Who assessed {of} is not recorded."
    else:
        yield from _assessor(assessor, of)


def _assessor(assessor: Assessor, of: str) -> Iterator[str]:
    if assessor.qualification is None:
        yield f"That {assessor.name} was entitled to assess is not entered for the observation {of}."
    if not assessor.own.current:
        yield f"No sign-off of {assessor.name}’s own was in force at the observation {of}."
