"""The desk's answer at the bedside: off, until a named approver turns it on, and every turn recorded.

    turn_on("Dr A. Example", "pilot on two wards", until, "educator")
    is_on() -> bool
    turn_off("pilot over", "educator")

In this version it is held off: `HELD_OFF` says why, and while it says anything nobody can turn it on.

What was approved stands beside one version of the pathway. It ends by itself at its date, with that version's
expiry, and when another version takes its place. What was turned on under an earlier edition of the desk is off.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from browline import display
from browline.errors import NotUnderstood
from browline.services.materials import documents
from browline.services.materials.handouts.cards import mark
from browline.services.questioned.pathway import KIND
from browline.store.event_log import write_event
from browline.store.models import ControlledDocument, Event

TURNED = "bedside-model"
ON, OFF = "on", "off"
LONGEST = timedelta(days=365)
HELD_OFF = (
    "This version holds it off: the desk does not weigh yet how a reading ages, nor every state of a patient. "
    "At a bedside the approved pathway answers."
)
# Raised whenever the desk's answer changes so far that an approval of it has to be given anew.
EDITION = 2
LONGEST_NAME, LONGEST_REASON = 80, 300


@dataclass(frozen=True)
class Turn:
    """One turn of the switch: on or off, by whom approved and why, when, until when, entered by whom.

    `version` is the version of the pathway in force at that moment, `edition` that of the desk.
    """

    on: bool
    approver: str
    reason: str
    at: datetime
    until: date | None
    version: int | None
    actor: str
    edition: int = EDITION


@dataclass(frozen=True)
class Standing:
    """How the switch stands: `turn` is the last one; `why_off` says in words why it is off, empty while on."""

    on: bool
    turn: Turn | None
    why_off: str


def is_on() -> bool:
    """Whether the desk's answer may be shown at the bedside at this moment."""
    return standing(timezone.localtime()).on


def standing(now: datetime) -> Standing:
    """How the switch stands at `now`, which is in the hospital's zone."""
    turn = next(iter(turns()), None)
    why_off = _why_off(turn, now.date())
    return Standing(on=not why_off, turn=turn, why_off=why_off)


def _why_off(turn: Turn | None, today: date) -> str:
    if HELD_OFF:
        return HELD_OFF
    if turn is None:
        return "Nobody has turned it on."
    if not turn.on:
        return "It was turned off."
    if turn.edition != EDITION:
        return "It was turned on under an earlier version of the desk, whose answer was another."
    if turn.until is None or turn.until < today:
        return "Its time is over."
    document = documents.in_force(KIND, today)
    if mark(document, today):
        return "The pathway is not in force."
    if turn.version is None or document.version != turn.version or _replaced(turn.version, today):
        return "Another version of the pathway was approved since."
    return ""


def _replaced(version: int, today: date) -> bool:
    """Whether a later version ever came into force: what was approved beside this one does not come back."""
    later = (one for one in documents.history(KIND) if one.version > version)
    return any(documents.mark(one, today) in ("", "EXPIRED") for one in later)


def turns() -> list[Turn]:
    """Every turn, latest first."""
    return [_turn(event) for event in Event.objects.filter(verb=TURNED)]


def _turn(event: Event) -> Turn:
    told = event.data
    return Turn(
        on=event.subject == ON,
        approver=told.get("approver", ""),
        reason=told.get("reason", ""),
        at=event.at,
        until=date.fromisoformat(told["until"]) if told.get("until") else None,
        version=told.get("version"),
        actor=event.actor,
        edition=told.get("edition", 1),
    )


def turn_on(approver: str, reason: str, until: date, actor: str) -> None:
    """Turn it on to the end of the day `until`; refused without a name, a reason, or a pathway in force."""
    if HELD_OFF:
        raise NotUnderstood("It cannot be turned on.", HELD_OFF, "Have the pathway approved, and work by it.")
    approver, reason, today = approver.strip(), reason.strip(), timezone.localdate()
    _check_named(approver, reason)
    _check_until(until, today)
    with transaction.atomic():
        document = documents.in_force(KIND, today)
        _check_in_force(document, today)
        _record(
            ON, actor, approver=approver, reason=reason, until=until.isoformat(), version=document.version,
            edition=EDITION,
        )  # fmt: skip


def turn_off(reason: str, actor: str) -> None:
    """Turn it off at once. Nothing is asked, so that nothing holds it up; the reason is kept where one is given."""
    if is_on():
        _record(OFF, actor, reason=reason.strip()[:LONGEST_REASON])


def _record(turned: str, actor: str, **told: str | int) -> None:
    write_event(actor, TURNED, turned, told)


def _check_named(approver: str, reason: str) -> None:
    for text, what, longest in (
        (approver, "the name of who approves it", LONGEST_NAME),
        (reason, "a reason", LONGEST_REASON),
    ):
        if not 0 < len(text) <= longest:
            raise NotUnderstood(
                f"It was to be turned on with {len(text)} letters as {what}.",
                f"It needs {what}, of {longest} letters at most.",
                "Write it; it is kept.",
            )


def _check_until(until: date, today: date) -> None:
    if not today <= until <= today + LONGEST:
        raise NotUnderstood(
            f"It would be on until {display.day(until)}.",
            "It ends by itself, today at the earliest and within a year.",
            "Choose such a day.",
        )


def _check_in_force(document: ControlledDocument, today: date) -> None:
    if mark(document, today):
        raise NotUnderstood(
            "The pathway is not in force.",
            "The desk's answer stands beside an approved pathway and never alone.",
            "Have the pathway approved first.",
        )
