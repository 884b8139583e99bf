"""The staff list: who is on it, what they are called, and who is away for long.

Nobody is removed: somebody who has left gets an end date or an absence, so that records about them stand.
"""

from datetime import date

from browline.errors import InputRefused, NotUnderstood
from browline.shifts import ABSENCES
from browline.store.event_log import recorded
from browline.store.folder import Book
from browline.store.keys import pseudonym, read_key
from browline.store.models import Absence, Person

Value = str | date | None

ENTRIES = ("name", "role", "ward", "start", "end")


def add(book: Book, identifier: str, *, actor: str, **entries: Value) -> Person:
    """Put a person on the list under the identifier that charts and rosters use."""
    identifier = identifier.strip()
    _sensible(entries)
    if not identifier:
        raise NotUnderstood(
            "No identifier was given.", "It ties readings and rosters to a person.", "Give one."
        )
    with recorded(actor, "staff-added") as event:
        person, created = Person.objects.get_or_create(
            identifier=identifier,
            defaults={"pseudonym": pseudonym(read_key(book.identity), "person", identifier)},
        )
        if not created and person.listed:
            raise InputRefused(
                f"{identifier} is on the list already, as {person.shown}.",
                "An identifier is one person's.",
                "Open that entry, or check the identifier.",
            )
        event.about(person.pk)
        Person.objects.filter(pk=person.pk).update(**entries, listed=True)
    return Person.objects.get(pk=person.pk)


def change(number: int, *, actor: str, **entries: Value) -> None:
    """Change what the list says of a person."""
    _sensible(entries)
    with recorded(actor, "staff-changed", number, _plain(entries)):
        Person.objects.filter(pk=number).update(**entries, listed=True)


def away(number: int, reason: str, start: date, end: date | None, *, actor: str) -> None:
    """Say that a person is not to be counted from `start` on (until `end`, if that is known)."""
    if reason not in ABSENCES or (end is not None and end < start):
        raise NotUnderstood(
            "This absence has no known reason, or ends before it begins.",
            f"Reasons are {', '.join(ABSENCES)}.",
            "Choose a reason, and an end after the beginning or none.",
        )
    with recorded(actor, "away", number, {"reason": reason}):
        Absence.objects.create(person_id=number, reason=reason, start=start, end=end, actor=actor)


def back(absence: int, last_day: date, *, actor: str) -> None:
    """Say that an absence ended on `last_day`; it stays on record."""
    with recorded(actor, "back", absence, {"until": str(last_day)}):
        if not Absence.objects.filter(pk=absence, start__lte=last_day).update(end=last_day):
            raise NotUnderstood(
                "The absence would end before it began.",
                "It ends on its first day or later.",
                "Give a later day.",
            )


def _sensible(entries: dict[str, Value]) -> None:
    unknown = set(entries) - set(ENTRIES)
    start, end = entries.get("start"), entries.get("end")
    if unknown or (isinstance(start, date) and isinstance(end, date) and end < start):
        raise NotUnderstood(
            f"The staff list has no {', '.join(sorted(unknown))}."
            if unknown
            else "The end is before the start.",
            f"It has {', '.join(ENTRIES)}.",
            "Change the entry.",
        )


def _plain(entries: dict[str, Value]) -> dict[str, Value]:
    return {name: str(value) if isinstance(value, date) else value for name, value in entries.items()}
