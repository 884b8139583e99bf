"""Whom a roster's line means: by identifier, else by a name that one person has; else somebody new."""

from collections import defaultdict
from collections.abc import Callable
from typing import Any

from browline.intake import match_person, read_identifier
from browline.intake.roster.names import names_nobody, plain_name
from browline.intake.roster.staff_heading import Entry
from browline.store.matched import known_as, matched_people
from browline.store.models import Person


class People:
    """The people of the book and those the file adds: a number each, negative for the new."""

    def __init__(self, ward_of: Callable[[str], str]) -> None:
        self._ward = ward_of
        everybody = list(Person.objects.all())
        self.by_number: dict[int, Person] = {p.pk: p for p in everybody}
        matched = {t: p.pk for t, p in matched_people().items()}
        own = {p.identifier: p.pk for p in everybody if p.listed}
        self._exact = {p.identifier: p.pk for p in everybody} | matched | own
        self._listed = tuple(p.identifier for p in everybody if p.listed)
        self._seen = tuple(p.identifier for p in everybody if not p.listed)
        self._named: dict[str, set[int]] = known_as()
        self._seen_named: dict[str, set[int]] = defaultdict(set)
        for p in everybody:
            if not p.listed:
                self._seen_named[plain_name(p.name or p.identifier)].add(p.pk)
        self._told: dict[tuple[str, str], tuple[str, int]] = {}
        self.new: dict[int, Entry] = {}
        self.names: dict[int, str] = {}
        self.repairs: dict[str, list[int]] = defaultdict(list)

    def who(self, entry: Entry) -> tuple[str, int]:
        """A reason why nobody is meant, or "" and the number of the person."""
        key = (entry.identifier, entry.name)
        if key not in self._told:
            self._told[key] = self._find(entry)
        return self._told[key]

    def known(self, entry: Entry) -> int | None:
        """The number of the person where it is one of the book."""
        _, number = self._told.get((entry.identifier, entry.name)) or self._find(entry, add=False)
        return number if number > 0 else None

    def home(self, number: int) -> str:
        """The home ward of a person of the book."""
        return self.by_number[number].ward if number in self.by_number else ""

    def of_name(self, name: str) -> list[Person]:
        """People of the book whom this name may mean: those of the list, else entries of this name."""
        found = self._named.get(plain_name(name)) or self._seen_named.get(plain_name(name), set())
        return [self.by_number[number] for number in sorted(found)]

    def knows(self, identifier: str) -> bool:
        """Whether the book has somebody under exactly this identifier."""
        return identifier in self._exact

    def ward_of(self, entry: Entry) -> str:
        """The ward that an entry names, as the book writes it."""
        return self.ward_named(entry.ward)

    def ward_named(self, text: str) -> str:
        """A ward as the book writes it."""
        return self._ward(text)

    def _find(self, entry: Entry, *, add: bool = True) -> tuple[str, int]:
        if names_nobody(entry.identifier, entry.name):
            return "nobody-named", 0
        found = self._by_identifier(entry) if entry.identifier else self._by_name(entry)
        if isinstance(found, str):
            return found, 0
        if found is not None:
            if entry.name and not self.by_number.get(found, _NAMED).name:
                self.names[found] = entry.name
            return "", found
        return ("", self._add(entry)) if add else ("", 0)

    def _by_identifier(self, entry: Entry) -> int | str | None:
        text, repair = read_identifier(entry.identifier)
        if repair == "identifier-rounded":
            return self._by_name(entry) if entry.name else "person-unread"
        if text not in self._exact:
            for register in (self._listed, self._seen):
                name, zeros = match_person(text, register)
                if zeros == "leading-zeros":
                    text, repair = name, zeros
                    break
        if repair:
            self.repairs[repair].append(entry.row)
        return self._exact.get(text)

    def _by_name(self, entry: Entry) -> int | str | None:
        found = self._named.get(plain_name(entry.name), set())
        if len(found) > 1:
            return "two-of-this-name"
        return next(iter(found), None) or self._seen_as(entry)

    def _seen_as(self, entry: Entry) -> int | str | None:
        """The entry of this name that is on no list; of several the one on this ward."""
        seen = self._seen_named.get(plain_name(entry.name), set())
        if len(seen) > 1:
            ward = self.ward_of(entry)
            seen = {n for n in seen if ward and n in self.by_number and self.by_number[n].ward == ward}
            return seen.pop() if len(seen) == 1 else "two-of-this-name"
        return next(iter(seen), None)

    def _add(self, entry: Entry) -> int:
        number = -1 - len(self.new)
        text = read_identifier(entry.identifier)[0] or entry.name
        self.new[number] = entry
        self._exact[text] = number
        if not entry.identifier:
            self._seen_named[plain_name(entry.name)].add(number)
        self.repairs["person-not-listed"].append(entry.row)
        return number


class _Named:
    name = "-"


_NAMED: Any = _Named()
