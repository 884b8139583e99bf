"""What the registers already say, and carrying new register rows into them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Model

from browline.columns import IMPORT_KINDS
from browline.store.attended import ATTENDED, known_from_files, say_by_file
from browline.store.matched import matched_people, under_other_names
from browline.store.models import Attendance, Check, Cleaning, DatedEvent, Instrument, Person


def identity(kind: str, row: dict[str, Any]) -> tuple[Any, ...]:
    """What makes a register row the same row again; blank and missing are one."""
    return tuple(row.get(name) or "" for name in IMPORT_KINDS[kind].identity)


def standing(kind: str) -> set[tuple[Any, ...]]:
    """Identities of the rows that the register of this kind holds."""
    return {tuple(value or "" for value in row) for row in REGISTERS[kind].identities()}


def carry_out(kind: str, deeds: Iterable[dict[str, Any]], pseudonym_of: Any) -> None:
    """Write register rows; call inside the import's transaction. `pseudonym_of(identifier)` keys a person."""
    REGISTERS[kind].write(list(deeds), pseudonym_of)


def name_instruments(names: Iterable[str]) -> Iterable[Instrument]:
    """The register's entries of these names, read when asked for; ones never listed are added as seen in charts."""
    names = set(names)
    here = set(Instrument.objects.filter(name__in=names).values_list("name", flat=True))
    Instrument.objects.bulk_create([Instrument(name=n, listed=False) for n in sorted(names - here)])
    return Instrument.objects.filter(name__in=names)


def name_people(identifiers: dict[int, str]) -> Iterable[Person]:
    """The register's entries of these people, read when asked for; ones never listed are added as seen in charts."""
    here = set(Person.objects.filter(pseudonym__in=list(identifiers)).values_list("pseudonym", flat=True))
    fresh = [
        Person(identifier=t[:120], pseudonym=p, listed=False) for p, t in identifiers.items() if p not in here
    ]
    Person.objects.bulk_create(fresh)
    return Person.objects.filter(pseudonym__in=list(identifiers))


def _instruments(deeds: list[dict[str, Any]], pseudonym_of: Any) -> None:
    for d in deeds:
        said = {
            "unit": d["unit"],
            "mode": d["mode"],
            "kind": d["kind"],
            "model": d["model"],
            "ward": d["ward"],
        }
        fields = {k: v for k, v in said.items() if v}
        dates = {"start": d["from"], "end": d["until"]}
        fields.update({k: v for k, v in dates.items() if v})
        Instrument.objects.update_or_create(name=d["instrument"], defaults={**fields, "listed": True})


def _people(deeds: list[dict[str, Any]], pseudonym_of: Any) -> None:
    for d in deeds:
        said = {
            "name": d.get("name"),
            "role": d["role"],
            "ward": d["ward"],
            "start": d["from"],
            "end": d["until"],
        }
        fields = {k: v for k, v in said.items() if v}
        key = {"pseudonym": d["pseudonym"], "identifier": d["person"]}
        Person.objects.update_or_create(**key, defaults={**fields, "listed": True})


def _cleanings(deeds: list[dict[str, Any]], pseudonym_of: Any) -> None:
    instruments = {i.name: i for i in name_instruments(d["instrument"] for d in deeds)}
    Cleaning.objects.bulk_create(
        Cleaning(
            instrument=instruments[d["instrument"]],
            time=d["time"],
            part=d["part"] or "",
            agent=d["agent"] or "",
        )
        for d in deeds
    )


def _checks(deeds: list[dict[str, Any]], pseudonym_of: Any) -> None:
    instruments = {i.name: i for i in name_instruments(d["instrument"] for d in deeds)}
    Check.objects.bulk_create(
        Check(
            instrument=instruments[d["instrument"]],
            **{k: d[k] for k in ("time", "reference", "shown", "ambient", "uncertainty")},
            mode=d["mode"] or "",
            result=(d["result"] or "")[:40],
        )
        for d in deeds
    )


def _sessions(deeds: list[dict[str, Any]], pseudonym_of: Any) -> None:
    everyone = {d["person"] for d in deeds} | {d["assessor"] for d in deeds if d["assessor"]}
    people = {p.identifier: p for p in name_people({pseudonym_of(t): t for t in everyone})} | matched_people()
    Attendance.objects.bulk_create(
        (
            Attendance(
                person=people[d["person"]],
                time=d["time"],
                ward=d["ward"] or "",
                outcome=d["outcome"] or "",
                assessor=people.get(d["assessor"]),
            )
            for d in deeds
        ),
        # Somebody who signed in to the session is here already; the file then says it a second way.
        ignore_conflicts=True,
    )
    came = [d for d in deeds if d["outcome"] == ATTENDED]
    say_by_file((people[d["person"]].pk, d["time"], d["ward"] or "") for d in came)


@dataclass(frozen=True)
class Register:
    """Where rows of a kind lie: `identities` of those there are; `write(rows, pseudonym_of)` enters new ones."""

    identities: Callable[[], Iterable[tuple[Any, ...]]]
    write: Callable[[list[dict[str, Any]], Any], None]


def rows_of(kind: str, model: type[Model]) -> Register:
    """The register of a kind whose columns are the fields of a model, name by name."""
    row = IMPORT_KINDS[kind]

    def write(deeds: list[dict[str, Any]], pseudonym_of: Any) -> None:
        rows = ({c.name: deed[c.name] or "" for c in row.columns} for deed in deeds)
        model._default_manager.bulk_create(model(**fields) for fields in rows)

    return Register(lambda: model._default_manager.values_list(*row.identity), write)


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
        lambda: under_other_names(
            known_from_files(set(Attendance.objects.values_list("person__identifier", "time", "outcome")))
        ),
        _sessions,
    ),
    "events": rows_of("events", DatedEvent),
}
