"""What a record does not show, said before somebody else says it."""

from collections.abc import Iterator

from browline.competency.explain import day
from browline.competency.judging import NOT_SEEN
from browline.services.training.record import Assessor, Entry, Record


def gaps(record: Record) -> tuple[str, ...]:
    """Every gap of the record, in sentences; the person first, then each observation, latest first."""
    sentences = [*_person(record), *_observed(record)]
    for entry in record.entries:
        if not entry.withdrawn:
            sentences += _entry(record, entry)
    for brought in record.brought_in:
        sentences += _brought_in(day(brought.day), brought.assessor)
    return tuple(dict.fromkeys(sentences))


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
    when = day(entry.day)
    if not entry.version.startswith("in force"):
        yield f"Version {entry.checklist} of the checklist was not approved and in date on {when}: {entry.version}."
    if not entry.taught and entry.left:
        yield f"What was practised after {when} is not written down."
    if entry.left and entry == record.entries[0]:
        yield f"No observation after that of {when} is on record."
    for word, value in (("ward", entry.ward), ("instrument", entry.instrument)):
        if not value:
            yield f"The {word} is not written down for {when}."
    if unseen := [step.name for step, mark in entry.steps if mark == NOT_SEEN]:
        yield f"Not seen on {when}: {'; '.join(unseen)}."
    for assessor in filter(None, (entry.assessor, entry.second)):
        yield from _assessor(assessor, when)


def _brought_in(when: str, assessor: Assessor | None) -> Iterator[str]:
    yield f"The steps, the method and the version of the checklist are not recorded for {when}: a record brought in."
    if assessor is None:
        yield f"Who assessed on {when} is not recorded."
    else:
        yield from _assessor(assessor, when)


def _assessor(assessor: Assessor, when: str) -> Iterator[str]:
    if assessor.qualification is None:
        yield f"What entitled {assessor.name} to assess on {when} is not entered."
    if not assessor.own.current:
        yield f"{assessor.name} had no sign-off of their own in force on {when}."
