"""How the instruments stand today: the book's records given to the room kit, and the answer as plain data.

standing(book, now) -> kit.Fleet        as_json(fleet) -> {"format": "browline-instruments/1", ...}
"""

from datetime import UTC, datetime, tzinfo
from typing import Any

from browline.errors import NotUnderstood
from browline.kit import (
    Charted,
    Checked,
    Cleaned,
    Entry,
    Errand,
    Fleet,
    Problem,
    Seen,
    WardKit,
    counted,
    errands,
    forecast,
    solve,
    told,
    ward_sentence,
)
from browline.store.book import Book

NEED, BATTERY = "instruments-needed", "battery-readings"
RATE_DAYS = 56
WORDS = ("ward", "lens", "mode", "unit", "battery")


def standing(book: Book, now: datetime) -> Fleet:
    """Where every instrument is and what is to do; `now` in the hospital's zone."""
    return solve(problem(book, now))


def problem(book: Book, now: datetime) -> Problem:
    """What the book says of its instruments, with every time in the zone of `now`."""
    from browline.duties.choices import choice
    from browline.store.models import Check, Cleaning, Finding, Instrument, Sighting

    def here(time: datetime) -> datetime:
        return time.astimezone(now.tzinfo)

    entries = ("name", "ward", "unit", "mode", "kind", "model", "start", "end", "listed")
    seen = Sighting.objects.values_list("instrument__name", "time", "state", *WORDS)
    cleaned = Cleaning.objects.values_list("instrument__name", "time", "part")
    checked = Check.objects.values_list("instrument__name", "time")
    flagged = Finding.objects.filter(subject_type="instrument", state__in=[Finding.NEW, Finding.STILL])
    return Problem(
        now=now,
        register=tuple(Entry(**row) for row in Instrument.objects.values(*entries)),
        sightings=tuple(
            Seen.of(name, here(time), state, **dict(zip(WORDS, looked, strict=True)))
            for name, time, state, *looked in seen
        ),
        cleanings=tuple(Cleaned(name, here(time), part) for name, time, part in cleaned),
        checks=tuple(Checked(name, here(time)) for name, time in checked),
        charted=charted_lately(book, now.tzinfo),
        need=needed(),
        flagged=frozenset(flagged.values_list("subject_id", flat=True)),
        clean_days=choice("clean_days"),
        locate_days=choice("locate_days"),
        battery_readings=battery_readings(),
    )


def charted_lately(book: Book, zone: tzinfo | None = UTC) -> dict[str, Charted]:
    """Readings charted by instrument in the last `RATE_DAYS` days of the charts, over the days that each was charted.

    One pass over three columns of the readings; nothing where the charts do not say the instrument.
    """
    from browline.store.memory import working_memory
    from browline.store.readings import view_readings

    con = working_memory()
    view = view_readings(con, book)
    found = con.execute(
        f"""SELECT instrument, count(*), epoch(last - greatest(min(time), last - INTERVAL {RATE_DAYS} DAY)) / 86400,
        epoch(max(time)), coalesce(arg_max(ward, time), '')
        FROM {view}, (SELECT max(time) AS last FROM {view})
        WHERE instrument IS NOT NULL AND time > last - INTERVAL {RATE_DAYS} DAY GROUP BY instrument, last"""
    ).fetchall()
    return {
        name: Charted(n, days, datetime.fromtimestamp(last, zone), ward)
        for name, n, days, last, ward in found
        if days > 0
    }


def needed() -> dict[str, int]:
    """How many instruments each ward should have ready, where stated."""
    return _kept(NEED)


def battery_readings() -> dict[str, float]:
    """Readings a battery lasts, by model; "" for any other."""
    return _kept(BATTERY)


def state_need(ward: str, number: int | None, *, actor: str) -> None:
    """State how many instruments a ward should have ready; None takes the statement back."""
    if number is not None and not 0 <= number <= 500:
        raise NotUnderstood(
            f"{ward} cannot need {number} instruments.", "A need is from 0 to 500.", "Write another number."
        )
    _change(NEED, ward, number, actor)


def state_battery(model: str, number: float | None, *, actor: str) -> None:
    """State how many readings a battery lasts in a model ("" for any other); None takes it back."""
    if number is not None and not 100 <= number <= 1_000_000:
        raise NotUnderstood(
            f"A battery does not last {number:g} readings.",
            "It is from 100 to a million.",
            "Look at the instructions.",
        )
    _change(BATTERY, model, number, actor)


def _kept(key: str) -> dict[str, Any]:
    from browline.store.models import Setting

    kept = Setting.objects.filter(key=key).first()
    return {} if kept is None else dict(kept.value)


def _change(key: str, name: str, number: float | None, actor: str) -> None:
    from django.db import transaction

    from browline.store.models import Event, Setting

    with transaction.atomic():
        Event.objects.create(actor=actor, verb="set", subject=f"{key} {name}".strip(), data={"value": number})
        value = {**_kept(key), name: number}
        value = {name: number for name, number in value.items() if number is not None}
        Setting.objects.update_or_create(key=key, defaults={"value": value})


def as_json(fleet: Fleet) -> dict[str, Any]:
    """The fleet as plain data, for the terminal and other programs."""
    count, (low, high) = fleet.count, fleet.count.interval
    return {
        "format": "browline-instruments/1",
        "count": {
            "in_service": count.in_service,
            "present": count.present,
            "in_use": count.in_use,
            "not_located": count.not_located,
            "retired": count.retired,
            "later": count.later,
            "not_in_register": count.unlisted,
            "located_share": count.located / count.in_service if count.in_service else None,
            "low": low,
            "high": high,
            "sentence": counted(count),
        },
        "due": [_errand(errand) for errand in errands(fleet)],
        "instruments": [_instrument(fleet, name) for name in fleet.places],
        "wards": [_ward(ward) for ward in fleet.wards],
    }


def _errand(errand: Errand) -> dict[str, Any]:
    words = told(errand)
    return {
        "kind": errand.kind.name.lower().replace("_", "-"),
        "instrument": errand.entry.name,
        "ward": errand.entry.ward,
        "title": words.title,
        "reasons": list(words.reasons),
        "action": words.action,
    }


def _instrument(fleet: Fleet, name: str) -> dict[str, Any]:
    place, lens, battery = fleet.places[name], fleet.lenses.get(name), fleet.batteries.get(name)
    check = fleet.checks.get(name)
    return {
        "instrument": name,
        "home": place.entry.ward,
        "state": place.state.value,
        "ward": place.ward,
        "found": place.found.time.isoformat() if place.found else None,
        "lens": lens.outcome.value if lens else None,
        "lens_due": _iso(lens.due) if lens else None,
        "battery": forecast(battery) if battery else None,
        "check_due": _iso(check.due) if check else None,
    }


def _ward(kit: WardKit) -> dict[str, Any]:
    return {
        "ward": kit.ward,
        "ready": list(kit.ready),
        "need": kit.need,
        "not_ready": {name: [fault.value for fault in faults] for name, faults in kit.unready.items()},
        "missing": list(kit.missing),
        "away": [place.entry.name for place in kit.away],
        "sentence": ward_sentence(kit),
    }


def _iso(day: Any) -> str | None:
    return day.isoformat() if day else None
