"""What came from a phone and cannot be kept as it is: nothing is lost, it waits for the educator with its reason.

A waiting record is the event that refused it; it stops waiting when a later event says that it was taken or put by.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from browline.errors import InputRefused, NotUnderstood, Refusal
from browline.services.book.clock import local_day
from browline.services.training import demonstrations
from browline.services.training.demonstrations.rules import all_marks
from browline.services.training.demonstrations.submissions import read, submission_key
from browline.store.event_log import recorded, write_event
from browline.store.models import Demonstration, Event

WAITS, TAKEN, PUT_BY = "demonstration-refused", "demonstration-taken", "demonstration-put-by"
NOT_YOURS = InputRefused(
    "This record names another assessor than the pass it came with.",
    "A pass records as the person it was made for.",
    "Ask who observed, say it here, and take it.",
)


@dataclass(frozen=True)
class Answer:
    """What the phone is told: whether the record was kept, or waits for the educator, and a sentence."""

    kept: bool
    waiting: bool
    sentence: str


def receive(payload: Mapping[str, object], *, bearer: int | None, actor: str, now: datetime) -> Answer:
    """Keep a phone's record, or let it wait with the reason; sent again, it gets the same answer.

    `bearer` is the person whose pass it came with, None for the educator.
    """
    try:
        submission_key(payload)
        if bearer is not None and str(payload.get("assessor")) != str(bearer):
            raise NOT_YOURS
        observation = read(payload, now)
        _refuse_twin(observation)
        recorded = demonstrations.record(observation, actor=actor, now=now)
    except Refusal as refusal:
        return _let_wait(payload, refusal, actor)
    return Answer(True, False, recorded.sentence)


def waiting() -> list[Event]:
    """The records that wait, latest first: events whose data hold `payload`, `came`, `wanted`, `do`."""
    closing = Event.objects.filter(verb__in=(TAKEN, PUT_BY)).values_list("subject", flat=True)
    done = {int(subject) for subject in closing}
    return [event for event in Event.objects.filter(verb=WAITS) if event.pk not in done]


def find_waiting(number: int) -> Event:
    """A record that waits, held until the transaction ends; refused where it was settled in the meantime."""
    # Locked before it is looked whether it was settled, so that of rivals one settles it.
    Event.objects.select_for_update().filter(pk=number, verb=WAITS).first()
    event = next((event for event in waiting() if event.pk == number), None)
    if event is None:
        raise InputRefused(
            "This record no longer waits.", "It was taken or put by meanwhile.", "Look at the list again."
        )
    return event


def take(
    number: int, changes: Mapping[str, object], reason: str, *, actor: str, now: datetime
) -> demonstrations.Recorded:
    """Record what waits, with what the educator put right in it; a reason is needed where something changed.

    Raises a `Refusal` where it still cannot be kept; it then goes on waiting.
    """
    if changes and not reason.strip():
        raise NotUnderstood("No reason was given.", "What was changed has to say why.", "Say why.")
    with transaction.atomic():
        event = find_waiting(number)
        # The phone's clock was asked when it came; from here on the educator answers for the time.
        sent = {name: value for name, value in event.data["payload"].items() if name != "sent"}
        with recorded(actor, TAKEN, number, {"changed": dict(changes), "reason": reason}):
            observation = read({**sent, **changes}, now)
            return demonstrations.record(observation, actor=actor, now=now, reason=reason.strip()[:200])


def put_by(number: int, reason: str, *, actor: str) -> None:
    """Say that a waiting record is not to be kept, and why; it stays in the book's account of deeds."""
    if not reason.strip():
        raise NotUnderstood("No reason was given.", "Somebody observed this and will ask.", "Say why.")
    with transaction.atomic():
        find_waiting(number)
        write_event(actor, PUT_BY, number, {"reason": reason.strip()[:200]})


def _refuse_twin(observation: demonstrations.Observation) -> None:
    """From the phone and keyed in from paper, one demonstration has two keys: only a person can tell."""
    day = local_day(observation.time)
    alike = Demonstration.objects.in_force().filter(person=observation.person, assessor=observation.assessor)
    for row in alike.filter(checklist=observation.checklist).exclude(key=observation.key):
        if local_day(row.time) == day and row.steps == all_marks(observation.checklist, observation.steps):
            raise InputRefused(
                "A record of this person by this assessor with the same marks stands on this day already.",
                "A demonstration is entered once, from the phone or from paper.",
                "If it is the same one, do not keep this. If it was seen twice that day, take it.",
            )


def _let_wait(payload: Mapping[str, object], refusal: Refusal, actor: str) -> Answer:
    sent = {name: value for name, value in payload.items() if name != "sent"}
    key = str(payload.get("key"))[:120]
    with transaction.atomic():
        waiting_events = Event.objects.filter(verb=WAITS, subject=key)
        if not any(_plain(event.data["payload"]) == sent for event in waiting_events):
            reasons = {"came": refusal.came, "wanted": refusal.wanted, "do": refusal.do}
            write_event(actor, WAITS, key, {"payload": dict(payload), **reasons})
    return Answer(False, True, f"It waits for the educator, nothing is lost. {refusal.came} {refusal.wanted}")


def _plain(payload: Mapping[str, object]) -> dict[str, object]:
    return {name: value for name, value in payload.items() if name != "sent"}
