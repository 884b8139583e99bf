"""Entries that turned out to be somebody of the list: what was matched stays matched, for files too.

The event of the match is the record; a later one about the same text replaces an earlier one.
"""

from typing import Any

from browline.store.models import Event, Person

MATCHED = "person-matched"


def matched_to(text: str) -> Person | None:
    """The person that this identifier was matched to, or None."""
    last = Event.objects.filter(verb=MATCHED, subject=text).first()
    return None if last is None else Person.objects.filter(pk=last.data["into"]).first()


def matched_people() -> dict[str, Person]:
    """Identifier as first seen -> the person it was matched to."""
    into = {e.subject: e.data["into"] for e in Event.objects.filter(verb=MATCHED).order_by("at", "id")}
    people = Person.objects.in_bulk(into.values())
    return {text: people[number] for text, number in into.items() if number in people}


def under_other_names(rows: set[tuple[Any, ...]]) -> set[tuple[Any, ...]]:
    """`rows` that begin with an identifier, and the same rows under every identifier matched to that person."""
    names: dict[str, list[str]] = {}
    for text, person in matched_people().items():
        names.setdefault(person.identifier, []).append(text)
    return rows | {(text, *row[1:]) for row in rows for text in names.get(row[0], ())}
