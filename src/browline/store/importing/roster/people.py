"""Whom a roster's line means: by identifier, else by a name that one person has; else somebody new."""

import re
from collections import defaultdict
from collections.abc import Callable
from typing import Any

from browline.intake import looks_shared, match_person, read_identifier
from browline.intake.roster import Entry
from browline.intake.roster.names import plain_name
from browline.store.matched import known_as, matched_people
from browline.store.models import Person

_NOBODY = re.compile(r"(?i)^\s*((vacan(t|cy)|vac|tbc|tba|n/?a|unfilled|empty|cover)\s*\d*|[-–—?.x]*)\s*$")


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
        self._seen_named: dict[str, int] = {}
        for p in everybody:
            if not p.listed:
                self._seen_named[plain_name(p.name or p.identifier)] = p.pk
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

    def ward_of(self, entry: Entry) -> str:
        """The ward that an entry names, as the book writes it."""
        return self._ward(entry.ward)

    def _find(self, entry: Entry, *, add: bool = True) -> tuple[str, int]:
        text = entry.identifier or entry.name
        if _NOBODY.match(text) or (
            not entry.identifier and looks_shared(text) and not re.search(r"\d", text)
        ):
            return "nobody-named", 0
        found = self._by_identifier(entry) if entry.identifier else self._by_name(entry.name)
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
            return self._by_name(entry.name) if entry.name else "person-unread"
        if text not in self._exact:
            for register in (self._listed, self._seen):
                name, zeros = match_person(text, register)
                if zeros == "leading-zeros":
                    text, repair = name, zeros
                    break
        if repair:
            self.repairs[repair].append(entry.row)
        return self._exact.get(text)

    def _by_name(self, name: str) -> int | str | None:
        found = self._named.get(plain_name(name), set())
        if len(found) > 1:
            return "two-of-this-name"
        return next(iter(found), None) or self._exact.get(name) or self._seen_named.get(plain_name(name))

    def _add(self, entry: Entry) -> int:
        number = -1 - len(self.new)
        text = read_identifier(entry.identifier)[0] or entry.name
        self.new[number] = entry
        self._exact[text] = number
        if not entry.identifier:
            self._seen_named[plain_name(entry.name)] = number
        self.repairs["person-not-listed"].append(entry.row)
        return number


class _Named:
    name = "-"


_NAMED: Any = _Named()
