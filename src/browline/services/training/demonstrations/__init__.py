"""A return demonstration becomes a record: checked against the rules, judged here, locked, and kept once.

The phone proposes; the outcome is judged again from the marks, and the rules (an assessor entitled on that day,
another day after a not-yet, a second assessor at the last try) are asked of the book as it stands.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import IntegrityError, transaction

from browline import display
from browline.competency.attempts import renewed_until
from browline.competency.judging import SIGNED_OFF, Judgement
from browline.errors import InputRefused
from browline.services.book.clock import local_day
from browline.services.training.demonstrations import rules
from browline.services.training.demonstrations.attendance import attend
from browline.services.training.demonstrations.observation import Observation
from browline.services.training.demonstrations.reading import next_try_now
from browline.services.training.demonstrations.recheck import ask_again
from browline.services.training.demonstrations.rules import METHODS
from browline.store.event_log import recorded
from browline.store.models import Demonstration

__all__ = ["METHODS", "Observation", "Recorded", "record", "told", "written"]


@dataclass(frozen=True)
class Recorded:
    """The record that stands, what to tell, and whether it was here already."""

    demonstration: Demonstration
    sentence: str
    already: bool = False


def record(observation: Observation, *, actor: str, now: datetime, reason: str = "") -> Recorded:
    """Keep an observation; the same one sent again is told from the record that stands.

    Raises a `Refusal` where a rule is not met, or where the same key came with something else in it.
    """
    try:
        with transaction.atomic():
            return _again(observation) or _new(observation, actor, now, reason)
    except IntegrityError:
        # A rival brought the same key between our look and our write.
        stored = _again(observation)
        if stored is None:
            raise
        return stored


def written(
    observation: Observation, judged: rules.Judged, *, actor: str, **more: str | Demonstration
) -> Demonstration:
    """Write the locked row and its attendance; call inside a transaction, after the event."""
    facts = {name: getattr(observation, name) for name in SAME}
    demonstration: Demonstration = Demonstration.objects.create(
        key=observation.key,
        **_columns(facts),
        steps=judged.marks,
        outcome=judged.judgement.outcome,
        attempt=judged.attempt,
        actor=actor,
        **more,
    )
    attend(demonstration)
    return demonstration


SAME = ("person", "assessor", "second", "checklist", "time", "ward", "instrument", "method", "taught")


def _columns(facts: Mapping[str, object]) -> dict[str, object]:
    pointing = ("person", "assessor", "second", "checklist")
    return {f"{name}_id" if name in pointing else name: value for name, value in facts.items()}


def _again(observation: Observation) -> Recorded | None:
    stored = Demonstration.objects.filter(key=observation.key).first()
    if stored is None:
        return None
    facts = _columns({name: getattr(observation, name) for name in SAME})
    marks = rules.all_marks(observation.checklist, observation.steps)
    if stored.steps != marks or any(getattr(stored, name) != value for name, value in facts.items()):
        raise InputRefused(
            "A record with this key is here already, and it says something else.",
            "A record is never written over.",
            "Compare the two. If this one is right, amend the record that stands.",
        )
    return Recorded(stored, "This record is already here; nothing was kept twice.", already=True)


def _new(observation: Observation, actor: str, now: datetime, reason: str) -> Recorded:
    judged = rules.judged(observation, now)
    data = {"person": observation.person, "outcome": judged.judgement.outcome, "attempt": judged.attempt}
    with recorded(actor, "demonstration", str(observation.key), data):
        demonstration = written(observation, judged, actor=actor, reason=reason)
        ask_again([demonstration.person_id], demonstration.time, actor=actor)
    return Recorded(demonstration, outcome_sentence(demonstration, judged.judgement))


def outcome_sentence(demonstration: Demonstration, judgement: Judgement) -> str:
    """What came of it and what comes next, in one or two sentences."""
    return f"{judgement.sentence} {_next(demonstration)}"


def _next(demonstration: Demonstration) -> str:
    checklist = rules.find_checklist(demonstration.checklist_id)
    day = local_day(demonstration.time)
    if demonstration.outcome == SIGNED_OFF:
        return f"To be seen again by {display.day(renewed_until(day, checklist.renewal_months))}."
    following = next_try_now(demonstration.person_id, day)
    if following.earliest is None:
        return "A later sign-off stands."
    sentence = f"Try {following.number} from {display.day(following.earliest)}"
    if following.beyond:
        return (
            f"{sentence}; it was the last of the local rule, so agree with the ward’s manager how to go on."
        )
    return f"{sentence}, with a second assessor." if following.second_needed else f"{sentence}."
