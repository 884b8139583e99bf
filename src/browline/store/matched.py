"""Entries that turned out to be somebody of the list: what was matched stays matched, for files too.

The event of the match is the record; a later one about the same text replaces an earlier one. A text may be what
several people are called: then a match says who was meant that once, and nothing of the next time.
"""

from collections import defaultdict
from typing import Any

from browline.intake.roster.names import plain_name
from browline.store.models import Event, Person

MATCHED = "person-matched"


def known_as() -> dict[str, set[int]]:
    """Name, made comparable -> the listed people it may mean: who bear it, and to whom it was matched."""
    known: dict[str, set[int]] = defaultdict(set)
    for number, name, text in Person.objects.listed().values_list("pk", "name", "identifier"):
        known[plain_name(name or text)].add(number)
    for text, number in _matches().items():
        known[plain_name(text)].add(number)
    return known


def matched_to(text: str) -> Person | None:
    """The person that this identifier was matched to, or None, also where it may mean somebody else."""
    return matched_people().get(text)


def matched_people() -> dict[str, Person]:
    """Identifier as first seen -> the person it was matched to, where it can mean nobody else of the list."""
    into, known = _matches(), known_as()
    people = Person.objects.in_bulk(into.values())
    return {text: people[n] for text, n in into.items() if n in people and known[plain_name(text)] == {n}}


def with_matched_names(rows: set[tuple[Any, ...]]) -> set[tuple[Any, ...]]:
    """`rows` that begin with an identifier, and the same rows under every identifier matched to that person."""
    into = _matches()
    people, names = Person.objects.in_bulk(into.values()), defaultdict(list)
    for text, number in into.items():
        if number in people:
            names[people[number].identifier].append(text)
    return rows | {(text, *row[1:]) for row in rows for text in names.get(row[0], ())}


def _matches() -> dict[str, int]:
    """Identifier as first seen -> the number of the person it was last matched to."""
    return {e.subject: e.data["into"] for e in Event.objects.filter(verb=MATCHED).order_by("id")}
