"""Advice that an earlier version gave and this one does not: taken back or put right when its book is first opened.

- "Set it back" to the unit of the register, where rounds and charts agree against the register.
- Cleaning the lens of an instrument that reads off before it was checked as found.
"""

from typing import Any

from django.db import transaction

from browline.findings import CHECK_AS_FOUND
from browline.store.event_log import write_event
from browline.store.models import Finding, Instrument, Setting, last_whole_review

DONE, ACTOR = "advised-anew", "browline"
REASON = (
    "Rounds and charts agree that it shows °{shown}, so the register is in doubt: look at its display and correct the"
    " register."
)
CLEANED_FIRST = "clean its lens, and send it for a check"


def advise_anew() -> None:
    """Put right what an earlier version advised in this book; once, and all or nothing."""
    if Setting.objects.filter(key=DONE).exists():
        return
    with transaction.atomic():
        _, first = Setting.objects.get_or_create(key=DONE, defaults={"value": True})
        if first:
            _take_back_units()
            _check_before_cleaning()


def _take_back_units() -> None:
    """An event for each instrument that should have been set back, and should not have been."""
    last = last_whole_review()
    for name, unit in (last.charted_units if last else {}).items():
        entry = Instrument.objects.filter(name=name).exclude(unit="").first()
        if entry is not None and entry.unit != unit == _unit_on_last_round(entry):
            data = {"advice": f"Set it back to °{entry.unit}.", "reason": REASON.format(shown=unit)}
            write_event(ACTOR, "register-advice-withdrawn", name, data)


def _unit_on_last_round(entry: Any) -> str:
    sighting = entry.sightings.exclude(unit="").last()
    return sighting.unit if sighting else ""


def _check_before_cleaning() -> None:
    """Open findings ask for the check as found; what they asked for before is kept beside it."""
    for finding in Finding.objects.open().filter(subject_type="instrument"):
        action = finding.data.get("action", "")
        if CLEANED_FIRST in action:
            finding.data = {**finding.data, "action": CHECK_AS_FOUND, "earlier_action": action}
            finding.save(update_fields=["data"])
