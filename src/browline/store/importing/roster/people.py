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

    def __init__(self, read_ward: Callable[[str], str]) -> None:
        self._ward = read_ward
        everybody = list(Person.objects.all())
        self.by_number: dict[int, Person] = {p.pk: p for p in everybody}
        matched = {t: p.pk for t, p in matched_people().items()}
        listed = {p.identifier: p.pk for p in everybody if p.listed}
        self._exact = {p.identifier: p.pk for p in everybody} | matched | listed
        self._listed = tuple(p.identifier for p in everybody if p.listed)
        self._unlisted = tuple(p.identifier for p in everybody if not p.listed)
        self._named: dict[str, set[int]] = known_as()
        self._unlisted_named: dict[str, set[int]] = defaultdict(set)
        for p in everybody:
            if not p.listed:
                self._unlisted_named[plain_name(p.name or p.identifier)].add(p.pk)
        self._matches: dict[tuple[str, str], tuple[str, int]] = {}
        self.new: dict[int, Entry] = {}
        self.names: dict[int, str] = {}
        self.repairs: dict[str, list[int]] = defaultdict(list)

    def who(self, entry: Entry) -> tuple[str, int]:
        """A reason why nobody is meant, or "" and the number of the person."""
        key = (entry.identifier, entry.name)
        if key not in self._matches:
            self._matches[key] = self._find(entry)
        return self._matches[key]

    def known(self, entry: Entry) -> int | None:
        """The number of the person where it is one of the book."""
        _, number = self._matches.get((entry.identifier, entry.name)) or self._find(entry, add=False)
        return number if number > 0 else None

    def home(self, number: int) -> str:
        """The home ward of a person of the book."""
        return self.by_number[number].ward if number in self.by_number else ""

    def with_name(self, name: str) -> list[Person]:
        """People of the book whom this name may mean: those of the list, else entries of this name."""
        numbers = self._named.get(plain_name(name)) or self._unlisted_named.get(plain_name(name), set())
        return [self.by_number[number] for number in sorted(numbers)]

    def knows(self, identifier: str) -> bool:
        """Whether the book has somebody under exactly this identifier."""
        return identifier in self._exact

    def entry_ward(self, entry: Entry) -> str:
        """The ward that an entry names, as the book writes it."""
        return self.ward_named(entry.ward)

    def ward_named(self, text: str) -> str:
        """A ward as the book writes it."""
        return self._ward(text)

    def _find(self, entry: Entry, *, add: bool = True) -> tuple[str, int]:
        if names_nobody(entry.identifier, entry.name):
            return "nobody-named", 0
        number = self._by_identifier(entry) if entry.identifier else self._by_name(entry)
        if isinstance(number, str):
            return number, 0
        if number is not None:
            if entry.name and not self.by_number.get(number, _NAMED).name:
                self.names[number] = entry.name
            return "", number
        return ("", self._add(entry)) if add else ("", 0)

    def _by_identifier(self, entry: Entry) -> int | str | None:
        text, repair = read_identifier(entry.identifier)
        if repair == "identifier-rounded":
            return self._by_name(entry) if entry.name else "person-unread"
        if text not in self._exact:
            for register in (self._listed, self._unlisted):
                name, zeros = match_person(text, register)
                if zeros == "leading-zeros":
                    text, repair = name, zeros
                    break
        if repair:
            self.repairs[repair].append(entry.row)
        return self._exact.get(text)

    def _by_name(self, entry: Entry) -> int | str | None:
        numbers = self._named.get(plain_name(entry.name), set())
        if len(numbers) > 1:
            return "two-of-this-name"
        return next(iter(numbers), None) or self._unlisted_by_name(entry)

    def _unlisted_by_name(self, entry: Entry) -> int | str | None:
        """The entry of this name that is on no list; of several the one on this ward."""
        numbers = self._unlisted_named.get(plain_name(entry.name), set())
        if len(numbers) > 1:
            ward = self.entry_ward(entry)
            numbers = {n for n in numbers if ward and n in self.by_number and self.by_number[n].ward == ward}
            return numbers.pop() if len(numbers) == 1 else "two-of-this-name"
        return next(iter(numbers), None)

    def _add(self, entry: Entry) -> int:
        number = -1 - len(self.new)
        text = read_identifier(entry.identifier)[0] or entry.name
        self.new[number] = entry
        self._exact[text] = number
        if not entry.identifier:
            self._unlisted_named[plain_name(entry.name)].add(number)
        self.repairs["person-not-listed"].append(entry.row)
        return number


class _Named:
    name = "-"


_NAMED: Any = _Named()
