"""What the registers already say, and carrying new register rows into them."""

from collections.abc import Iterable
from typing import Any

from browline.store.attended import ATTENDED, known_from_files, say_by_file
from browline.store.matched import matched_people, under_other_names
from browline.store.models import Attendance, Check, Cleaning, DatedEvent, Instrument, Person

IDENTITY: dict[str, tuple[str, ...]] = {
    "instruments": ("instrument", "unit", "mode", "kind", "model", "ward", "from", "until"),
    "cleanings": ("instrument", "time", "part"),
    "checks": ("instrument", "time", "reference", "shown"),
    "people": ("person", "name", "role", "ward", "from", "until"),
    "sessions": ("person", "time", "outcome"),
    "events": ("time", "what", "ward"),
}


def identity(kind: str, row: dict[str, Any]) -> tuple[Any, ...]:
    """What makes a register row the same row again; blank and missing are one."""
    return tuple(row.get(name) or "" for name in IDENTITY[kind])


def standing(kind: str) -> set[tuple[Any, ...]]:
    """Identities of the rows that the register of this kind holds."""
    return {tuple(value or "" for value in row) for row in _QUERIES[kind]()}


_QUERIES: dict[str, Any] = {
    "instruments": lambda: Instrument.objects.filter(listed=True).values_list(
        "name", "unit", "mode", "kind", "model", "ward", "start", "end"
    ),
    "cleanings": lambda: Cleaning.objects.values_list("instrument__name", "time", "part"),
    "checks": lambda: Check.objects.values_list("instrument__name", "time", "reference", "shown"),
    "people": lambda: Person.objects.filter(listed=True).values_list(
        "identifier", "name", "role", "ward", "start", "end"
    ),
    "sessions": lambda: under_other_names(
        known_from_files(set(Attendance.objects.values_list("person__identifier", "time", "outcome")))
    ),
    "events": lambda: DatedEvent.objects.values_list("time", "what", "ward"),
}


def carry_out(kind: str, deeds: Iterable[dict[str, Any]], pseudonym_of: Any) -> None:
    """Write register rows; call inside the import's transaction. `pseudonym_of(identifier)` keys a person."""
    _CARRIERS[kind](list(deeds), pseudonym_of)


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


def _events(deeds: list[dict[str, Any]], pseudonym_of: Any) -> None:
    DatedEvent.objects.bulk_create(
        DatedEvent(time=d["time"], what=d["what"], ward=d["ward"] or "") for d in deeds
    )


_CARRIERS: dict[str, Any] = {
    "instruments": _instruments,
    "people": _people,
    "cleanings": _cleanings,
    "checks": _checks,
    "sessions": _sessions,
    "events": _events,
}
