"""The register of instruments: what it says beside what the last review found, and entries by hand.

An instrument is never just removed: who retires one says why, and what stands in for it.
"""

from datetime import date, datetime
from typing import TypedDict

from django.db import transaction
from django.db.models import Max

from browline.documents.review import InstrumentRow
from browline.errors import InputRefused, NotUnderstood
from browline.instruments import look_alikes, same_name
from browline.quantities import celsius, celsius_difference
from browline.store.event_log import recorded
from browline.store.folder import Book
from browline.store.models import Check, Event, Instrument, last_whole_review

ENTRIES = ("unit", "mode", "kind", "model", "ward")


class Overview(TypedDict):
    """An instrument as the register has it, and what the last review found of it."""

    name: str
    unit: str
    mode: str
    kind: str
    model: str
    ward: str
    listed: bool
    start: date | None
    end: date | None
    offset_c: float | None
    low_c: float | None
    high_c: float | None
    n: int | None
    since: str | None
    data_share: float | None
    not_judged: str
    probability: float | None
    last_check: datetime | None
    last_cleaning: datetime | None


def instruments_overview(book: Book) -> list[Overview]:
    """Every instrument by name: register entry, offset with interval, since when, last check and cleaning."""
    last = last_whole_review()
    judged = {row.instrument: row for row in last.document.instruments} if last else {}
    kept = Instrument.objects.annotate(last_check=Max("checks__time"), last_cleaning=Max("cleanings__time"))
    return [_row(one, judged.get(one.name), one.last_check, one.last_cleaning) for one in kept]


def _row(
    entry: Instrument, judged: InstrumentRow | None, check: datetime | None, cleaning: datetime | None
) -> Overview:
    return {
        "unit": entry.unit,
        "mode": entry.mode,
        "kind": entry.kind,
        "model": entry.model,
        "ward": entry.ward,
        "name": entry.name,
        "listed": entry.listed,
        "start": entry.start,
        "end": entry.end,
        "offset_c": judged.offset_c if judged else None,
        "low_c": judged.low_c if judged else None,
        "high_c": judged.high_c if judged else None,
        "n": judged.n if judged else None,
        "since": judged.since if judged else None,
        "data_share": judged.data_share if judged else None,
        "not_judged": (judged and judged.reason) or "",
        "probability": judged.probability_beyond if judged else None,
        "last_check": check,
        "last_cleaning": cleaning,
    }


def enter_check(
    name: str,
    *,
    time: datetime,
    reference: float,
    shown: float,
    unit: str = "C",
    mode: str = "",
    uncertainty: float | None = None,
    result: str = "",
    actor: str,
) -> None:
    """Enter a comparison with a reference; both numbers in `unit`, kept in degrees Celsius."""
    if unit == "F":
        reference, shown = celsius(reference), celsius(shown)
        uncertainty = None if uncertainty is None else celsius_difference(uncertainty)
    if not (10 <= reference <= 50 and 10 <= shown <= 50):
        raise NotUnderstood(
            "A check outside 10 to 50 °C (50 to 122 °F) was given.",
            "Body thermometers are checked between about 33 and 42 °C.",
            "Look for a lost decimal point, and at the unit chosen for both numbers.",
        )
    with recorded(actor, "check", name, {"reference": reference, "shown": shown}):
        instrument = Instrument.objects.get(name=name)
        Check.objects.get_or_create(
            instrument=instrument,
            time=time,
            reference=reference,
            shown=shown,
            defaults={"mode": mode, "uncertainty": uncertainty, "result": result},
        )


def edit_instrument(name: str, *, actor: str, **entries: str) -> None:
    """Change the register's entry of an instrument; an instrument seen in charts becomes a listed one."""
    _known(entries)
    with recorded(actor, "register", name, entries):
        Instrument.objects.filter(name=name).update(**entries, listed=True)


def add_instrument(
    name: str, *, sure: bool = False, start: date | None = None, actor: str, **entries: str
) -> str:
    """Add an instrument to the register and return its name; one seen before on a round or in charts is taken in.

    A name that the eye takes for one already there is refused until somebody is `sure`.
    """
    _known(entries)
    with transaction.atomic():
        names = dict(Instrument.objects.values_list("name", "listed"))
        name = same_name(name, names)
        _free(name, names, sure)
        with recorded(actor, "register-added", name, entries):
            Instrument.objects.update_or_create(
                name=name, defaults={**entries, "start": start, "end": None, "listed": True}
            )
    return name


def move(name: str, *, ward: str, actor: str) -> None:
    """Give an instrument another home ward."""
    edit_instrument(name, ward=ward, actor=actor)


def _free(name: str, names: dict[str, bool], sure: bool) -> None:
    if not name:
        raise NotUnderstood(
            "No name was given.", "An instrument is known by its label.", "Write what stands on it."
        )
    if names.get(name):
        raise InputRefused(
            f"{name} is in the register.",
            "Each instrument stands there once.",
            "Open it to change its entry.",
        )
    alike = look_alikes(name, (other for other, listed in names.items() if listed))
    if alike and not sure:
        raise InputRefused(
            f"{name} looks like {' and '.join(alike)}, which the register has.",
            "The letter O and a zero, and I, l and 1, are easily taken for each other.",
            "Read the label again. If it is another instrument, say that you are sure.",
        )


def retire(name: str, *, on: date, reason: str, replacement: str, actor: str) -> None:
    """End an instrument's service on a day, with the reason and what stands in for it.

    `replacement`: another instrument in service, or in words what was arranged.
    """
    if not reason.strip() or not replacement.strip():
        raise InputRefused(
            f"{name} would be taken away without a reason, or without anything in its place.",
            "Where a thermometer is missing, temperatures cannot be measured.",
            "Say why, and which instrument stands in for it or what was arranged.",
        )
    data = {"on": on.isoformat(), "reason": reason.strip(), "replacement": replacement.strip()}
    with recorded(actor, "register-retired", name, data):
        _stands_in(replacement.strip(), name, on)
        serving = Instrument.objects.listed().lasting_beyond(on).filter(name=name)
        if not serving.update(end=on):
            raise InputRefused(
                f"{name} is not in service.",
                "Only an instrument in service is retired.",
                "Look at its entry.",
            )


def reinstate(name: str, *, actor: str) -> None:
    """Put a retired instrument back into service: it was found, repaired, or retired by mistake."""
    with recorded(actor, "register-reinstated", name):
        Instrument.objects.listed().filter(name=name).update(end=None)


def _stands_in(replacement: str, name: str, on: date) -> None:
    """Refuse a replacement that is the instrument itself, or one that is retired."""
    other = Instrument.objects.filter(name=replacement).first()
    if replacement == name or (other is not None and other.end is not None and other.end <= on):
        raise InputRefused(
            f"{replacement} cannot stand in for {name}.",
            "What stands in is another instrument, and in service.",
            "Name another, or say what was arranged.",
        )


def service(name: str) -> list[dict[str, object]]:
    """What was done to the register's entry of an instrument, latest first: verb, at, actor and what was said."""
    events = Event.objects.filter(verb__startswith="register", subject=name)
    return [{"verb": e.verb, "at": e.at, "actor": e.actor, **e.data} for e in events]


def _known(entries: dict[str, str]) -> None:
    unknown = set(entries) - set(ENTRIES)
    if unknown:
        raise NotUnderstood(
            f"The register has no {', '.join(unknown)}.", f"It has {', '.join(ENTRIES)}.", "Use these."
        )
