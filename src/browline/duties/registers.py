"""The register of instruments: what it says beside what the last review found, and entries by hand."""

from datetime import datetime
from typing import Any

from browline.errors import NotUnderstood
from browline.quantities import celsius, celsius_difference
from browline.store.book import Book

ENTRIES = ("unit", "mode", "kind", "model", "ward")


def instruments_overview(book: Book) -> list[dict[str, Any]]:
    """Every instrument by name: register entry, offset with interval, since when, last check and cleaning."""
    from django.db.models import Max

    from browline.store.models import Instrument, last_whole_review

    last = last_whole_review()
    judged = {row["instrument"]: row for row in last.result["instruments"]} if last else {}
    kept = Instrument.objects.annotate(last_check=Max("checks__time"), last_cleaning=Max("cleanings__time"))
    return [_row(instrument, judged.get(instrument.name, {})) for instrument in kept]


def _row(instrument: Any, judged: dict[str, Any]) -> dict[str, Any]:
    entry = {name: getattr(instrument, name) for name in (*ENTRIES, "name", "listed", "start", "end")}
    found = {name: judged.get(name) for name in ("offset_c", "low_c", "high_c", "n", "since", "data_share")}
    return {
        **entry,
        **found,
        "probability": judged.get("probability_beyond"),
        "last_check": instrument.last_check,
        "last_cleaning": instrument.last_cleaning,
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
    from django.db import transaction

    from browline.store.models import Check, Event, Instrument

    if unit == "F":
        reference, shown = celsius(reference), celsius(shown)
        uncertainty = None if uncertainty is None else celsius_difference(uncertainty)
    if not (10 <= reference <= 50 and 10 <= shown <= 50):
        raise NotUnderstood(
            "A check outside 10 to 50 °C was given.", "Thermometers are not checked there.", "Mend it."
        )
    with transaction.atomic():
        instrument = Instrument.objects.get(name=name)
        Event.objects.create(
            actor=actor, verb="check", subject=name, data={"reference": reference, "shown": shown}
        )
        Check.objects.get_or_create(
            instrument=instrument,
            time=time,
            reference=reference,
            shown=shown,
            defaults={"mode": mode, "uncertainty": uncertainty, "result": result},
        )


def edit_instrument(name: str, *, actor: str, **entries: str) -> None:
    """Change the register's entry of an instrument; an instrument seen in charts becomes a listed one."""
    from django.db import transaction

    from browline.store.models import Event, Instrument

    unknown = set(entries) - set(ENTRIES)
    if unknown:
        raise NotUnderstood(
            f"The register has no {', '.join(unknown)}.", f"It has {', '.join(ENTRIES)}.", "Use these."
        )
    with transaction.atomic():
        Event.objects.create(actor=actor, verb="register", subject=name, data=dict(entries))
        Instrument.objects.filter(name=name).update(**entries, listed=True)
