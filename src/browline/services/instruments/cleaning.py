"""The cleaning log by hand: one or many instruments cleaned at one time, with a word of caution where it is due."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from browline import display
from browline.columns import PARTS
from browline.errors import InputRefused, NotUnderstood
from browline.instruments import damages_lens
from browline.store.event_log import Unchanged, recorded
from browline.store.models import Cleaning, Instrument

AHEAD = timedelta(minutes=10)

LENS_DAMAGE = (
    "This agent is held to cause lens damage (taught, no source found); the instrument’s instructions come first. "
    "Look at the lens. In doubt bring a spare, tag the instrument and send it for a check."
)


@dataclass(frozen=True)
class Entered:
    """Cleanings kept and those already here, and what to be careful about."""

    kept: int
    already_here: int
    cautions: tuple[str, ...] = ()


def enter(
    names: Sequence[str],
    *,
    time: datetime,
    part: str = "lens",
    agent: str = "",
    who: str = "",
    actor: str,
    now: datetime,
) -> Entered:
    """Enter a cleaning of each of the instruments named; a cleaning entered twice is kept once.

    `who` cleaned, as written; it is kept with the event alone.
    """
    _check(names, time, part, now)
    with transaction.atomic():
        found = list(Instrument.objects.filter(name__in=set(names)))
        _all_known(names, [instrument.name for instrument in found])
        here = Cleaning.objects.filter(instrument__in=found, time=time, part=part)
        again = set(here.values_list("instrument_id", flat=True))
        new = [instrument for instrument in found if instrument.pk not in again]
        data = {"instruments": [i.name for i in new], "part": part, "agent": agent, "who": who}
        with recorded(actor, "cleaning", f"{len(new)} cleaned", data):
            if not new:
                raise Unchanged
            for instrument in new:
                Cleaning.objects.create(instrument=instrument, time=time, part=part, agent=agent[:80])
    return Entered(len(new), len(again), (LENS_DAMAGE,) if damages_lens(agent, part) else ())


def _check(names: Sequence[str], time: datetime, part: str, now: datetime) -> None:
    if not names:
        raise InputRefused(
            "No instrument was named.", "A cleaning is of one instrument or more.", "Tick those cleaned."
        )
    if part not in PARTS:
        raise NotUnderstood(
            f"{part!r} cannot be cleaned.", f"Parts are {', '.join(PARTS)}.", "Choose one of them."
        )
    if time > now + AHEAD:
        raise InputRefused(
            f"The cleaning is dated {display.moment(time)}, which is still to come.",
            "A cleaning is entered after it was done.",
            "Look at the date.",
        )


def _all_known(names: Sequence[str], known: Sequence[str]) -> None:
    unknown = sorted(set(names) - set(known))
    if unknown:
        raise InputRefused(
            f"The book does not know {', '.join(unknown)}.",
            "A cleaning is of an instrument of the book.",
            "Look at the label, or add it to the register first.",
        )
