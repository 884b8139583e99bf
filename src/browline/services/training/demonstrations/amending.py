"""Amending a record: a new one that names the one it replaces, with the reason. The latest of a chain counts."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import TypedDict, TypeVar, cast
from uuid import uuid4

from django.db import IntegrityError

from browline.errors import InputRefused, NotUnderstood
from browline.services.training.demonstrations import (
    SAME,
    Observation,
    Recorded,
    outcome_sentence,
    rules,
    written,
)
from browline.services.training.demonstrations.attendance import unattend
from browline.services.training.demonstrations.reading import WITHDRAWN, chain
from browline.services.training.demonstrations.recheck import ask_again
from browline.store.event_log import recorded
from browline.store.models import Demonstration

T = TypeVar("T")

CHANGEABLE = (*(name for name in SAME if name != "checklist"), "steps")


class Changes(TypedDict, total=False):
    """What an amendment may change."""

    person: int
    assessor: int
    second: int | None
    time: datetime
    steps: Mapping[str, str]
    method: str
    ward: str
    instrument: str
    taught: str


def amend(
    demonstration: Demonstration, reason: str, changes: Mapping[str, object], *, actor: str, now: datetime
) -> Recorded:
    """Replace a record by one with `changes` (some of `CHANGEABLE`); the rules are asked of the new facts.

    Refused without a reason, without a change, or where another amendment was written in the meantime.
    """
    before = _observation(demonstration)
    after = _changed(before, _known(changes))
    if not _differs(before, after):
        raise NotUnderstood("Nothing was changed.", "An amendment changes something.", "Change it, or leave.")

    def write() -> Recorded:
        judged = rules.judged(after, now, besides=tuple(link.pk for link in chain(demonstration)))
        demonstration_after = written(after, judged, actor=actor, amends=demonstration, reason=reason)
        ask_again({before.person, after.person}, min(before.time, after.time), actor=actor)
        return Recorded(demonstration_after, outcome_sentence(demonstration_after, judged.judgement))

    return _replaced(demonstration, reason, sorted(changes), write, actor)


def withdraw(demonstration: Demonstration, reason: str, *, actor: str) -> Demonstration:
    """Say that a record should not have been made: it stays to be read, and counts for nothing."""
    same = (*(f"{n}_id" for n in ("person", "assessor", "second", "checklist")), "time", "ward", "instrument")
    facts = {name: getattr(demonstration, name) for name in (*same, "method", "taught", "steps", "attempt")}

    def write() -> Demonstration:
        record: Demonstration = Demonstration.objects.create(
            **facts, outcome=WITHDRAWN, amends=demonstration, reason=reason, actor=actor
        )
        ask_again([record.person_id], record.time, actor=actor)
        return record

    return _replaced(demonstration, reason, [WITHDRAWN], write, actor)


def _replaced(
    demonstration: Demonstration, reason: str, fields: list[str], write: Callable[[], T], actor: str
) -> T:
    if not reason.strip():
        raise NotUnderstood(
            "No reason was given.", "Whoever reads the record later has to know why.", "Say why."
        )
    if demonstration.outcome == WITHDRAWN:
        raise InputRefused(
            "This record was withdrawn.",
            "A withdrawn record stays as it is and counts for nothing.",
            "If it was withdrawn by mistake, record the demonstration anew.",
        )
    try:
        data = {"reason": reason, "changed": fields}
        with recorded(actor, "demonstration-amended", str(demonstration.key), data):
            result = write()
            unattend(demonstration)
            return result
    except IntegrityError as fault:
        raise InputRefused(
            "This record was amended by somebody else in the meantime.",
            "Only the record that stands is amended.",
            "Open the record again and look at what stands now.",
        ) from fault


def _observation(demonstration: Demonstration) -> Observation:
    return Observation(
        key=demonstration.key,
        person=demonstration.person_id,
        assessor=demonstration.assessor_id,
        checklist=demonstration.checklist_id,
        time=demonstration.time,
        steps=demonstration.steps,
        method=demonstration.method,
        second=demonstration.second_id,
        ward=demonstration.ward,
        instrument=demonstration.instrument,
        taught=demonstration.taught,
    )


def _known(changes: Mapping[str, object]) -> Mapping[str, object]:
    unknown = sorted(set(changes) - set(CHANGEABLE))
    if unknown:
        raise NotUnderstood(
            f"{unknown[0]!r} was to be amended.", f"Amended are {', '.join(CHANGEABLE)}.", "Leave it out."
        )
    return changes


def _changed(before: Observation, changes: Mapping[str, object]) -> Observation:
    """What is to stand, under a key of its own."""
    return replace(before, **cast(Changes, changes), key=uuid4())


def _differs(before: Observation, after: Observation) -> bool:
    marks = [rules.all_marks(o.checklist, o.steps) for o in (before, after)]
    return marks[0] != marks[1] or any(getattr(before, name) != getattr(after, name) for name in SAME)
