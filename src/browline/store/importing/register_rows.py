"""What the registers already say, and carrying new register rows into them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Model

from browline.columns import IMPORT_KINDS
from browline.store.attended import ATTENDED, known_from_files, say_by_file
from browline.store.matched import matched_people, with_matched_names
from browline.store.models import Attendance, Check, Cleaning, DatedEvent, Instrument, Person


def identity(kind: str, row: dict[str, Any]) -> tuple[Any, ...]:
    """What makes a register row the same row again; blank and missing are one."""
    return tuple(row.get(name) or "" for name in IMPORT_KINDS[kind].identity)


def stored_identities(kind: str) -> set[tuple[Any, ...]]:
    """Identities of the rows that the register of this kind holds."""
    return {tuple(value or "" for value in row) for row in REGISTERS[kind].identities()}


def carry_out(kind: str, rows: Iterable[dict[str, Any]], key_person: Any) -> None:
    """Write register rows; call inside the import's transaction. `key_person(identifier)` keys a person."""
    REGISTERS[kind].write(list(rows), key_person)


def name_instruments(names: Iterable[str]) -> Iterable[Instrument]:
    """The register's entries of these names, read when asked for; ones never listed are added as seen in charts."""
    names = set(names)
    stored = set(Instrument.objects.filter(name__in=names).values_list("name", flat=True))
    Instrument.objects.bulk_create([Instrument(name=n, listed=False) for n in sorted(names - stored)])
    return Instrument.objects.filter(name__in=names)


def name_people(identifiers: dict[int, str]) -> Iterable[Person]:
    """The register's entries of these people, read when asked for; ones never listed are added as seen in charts."""
    stored = set(Person.objects.filter(pseudonym__in=list(identifiers)).values_list("pseudonym", flat=True))
    fresh = [
        Person(identifier=t[:120], pseudonym=p, listed=False)
        for p, t in identifiers.items()
        if p not in stored
    ]
    Person.objects.bulk_create(fresh)
    return Person.objects.filter(pseudonym__in=list(identifiers))


def _instruments(rows: list[dict[str, Any]], key_person: Any) -> None:
    for d in rows:
        values = {
            "unit": d["unit"],
            "mode": d["mode"],
            "kind": d["kind"],
            "model": d["model"],
            "ward": d["ward"],
        }
        fields = {k: v for k, v in values.items() if v}
        dates = {"start": d["from"], "end": d["until"]}
        fields.update({k: v for k, v in dates.items() if v})
        Instrument.objects.update_or_create(name=d["instrument"], defaults={**fields, "listed": True})


def _people(rows: list[dict[str, Any]], key_person: Any) -> None:
    for d in rows:
        values = {
            "name": d.get("name"),
            "role": d["role"],
            "ward": d["ward"],
            "start": d["from"],
            "end": d["until"],
        }
        fields = {k: v for k, v in values.items() if v}
        key = {"pseudonym": d["pseudonym"], "identifier": d["person"]}
        Person.objects.update_or_create(**key, defaults={**fields, "listed": True})


def _cleanings(rows: list[dict[str, Any]], key_person: Any) -> None:
    instruments = {i.name: i for i in name_instruments(d["instrument"] for d in rows)}
    Cleaning.objects.bulk_create(
        Cleaning(
            instrument=instruments[d["instrument"]],
            time=d["time"],
            part=d["part"] or "",
            agent=d["agent"] or "",
        )
        for d in rows
    )


def _checks(rows: list[dict[str, Any]], key_person: Any) -> None:
    instruments = {i.name: i for i in name_instruments(d["instrument"] for d in rows)}
    Check.objects.bulk_create(
        Check(
            instrument=instruments[d["instrument"]],
            **{k: d[k] for k in ("time", "reference", "shown", "ambient", "uncertainty")},
            mode=d["mode"] or "",
            result=(d["result"] or "")[:40],
        )
        for d in rows
    )


def _sessions(rows: list[dict[str, Any]], key_person: Any) -> None:
    everyone = {d["person"] for d in rows} | {d["assessor"] for d in rows if d["assessor"]}
    people = {p.identifier: p for p in name_people({key_person(t): t for t in everyone})} | matched_people()
    Attendance.objects.bulk_create(
        (
            Attendance(
                person=people[d["person"]],
                time=d["time"],
                ward=d["ward"] or "",
                outcome=d["outcome"] or "",
                assessor=people.get(d["assessor"]),
            )
            for d in rows
        ),
        # Somebody who signed in to the session is here already; the file then says it a second way.
        ignore_conflicts=True,
    )
    came = [d for d in rows if d["outcome"] == ATTENDED]
    say_by_file((people[d["person"]].pk, d["time"], d["ward"] or "") for d in came)


@dataclass(frozen=True)
class Register:
    """Where rows of a kind lie: `identities` of those there are; `write(rows, key_person)` enters new ones."""

    identities: Callable[[], Iterable[tuple[Any, ...]]]
    write: Callable[[list[dict[str, Any]], Any], None]


def model_register(kind: str, model: type[Model]) -> Register:
    """The register of a kind whose columns are the fields of a model, name by name."""
    kind_row = IMPORT_KINDS[kind]

    def write(rows: list[dict[str, Any]], key_person: Any) -> None:
        entries = ({c.name: row[c.name] or "" for c in kind_row.columns} for row in rows)
        model._default_manager.bulk_create(model(**fields) for fields in entries)

    return Register(lambda: model._default_manager.values_list(*kind_row.identity), write)


# One for each kind that is read by its headings, but for readings, which lie in files.
REGISTERS: dict[str, Register] = {
    "instruments": Register(
        lambda: Instrument.objects.listed().values_list(
            "name", "unit", "mode", "kind", "model", "ward", "start", "end"
        ),
        _instruments,
    ),
    "cleanings": Register(
        lambda: Cleaning.objects.values_list("instrument__name", "time", "part"), _cleanings
    ),
    "checks": Register(
        lambda: Check.objects.values_list("instrument__name", "time", "reference", "shown"), _checks
    ),
    "people": Register(
        lambda: Person.objects.listed().values_list("identifier", "name", "role", "ward", "start", "end"),
        _people,
    ),
    "sessions": Register(
        lambda: with_matched_names(
            known_from_files(set(Attendance.objects.values_list("person__identifier", "time", "outcome")))
        ),
        _sessions,
    ),
    "events": model_register("events", DatedEvent),
}
