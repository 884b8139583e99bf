"""The cast, all invented: Ana and Ben who show the scan; Omar and Priya who assess; the default checklist."""

from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

from browline.competency.checklist import STEPS
from browline.competency.judging import DONE, MISSED
from browline.services.materials import documents
from browline.services.training.demonstrations import Observation, record
from browline.services.training.demonstrations.assessors import entitle
from browline.store.models import Person

MONDAY = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)
WHOLE = {step.id: DONE for step in STEPS}
CURVED = {**WHOLE, "path": MISSED}
GROUND = "Educator course of the hospital, 2025"
NAMES = {"ana": "Ana Reyes", "ben": "Ben Okafor", "omar": "Omar Lind", "priya": "Priya Shah"}


def a_ward():
    """Everybody on the staff list, and both assessors entitled for 2026."""
    for number, (identifier, name) in enumerate(NAMES.items()):
        Person.objects.create(
            identifier=identifier, name=name, pseudonym=number, role="nurse", ward="Larch", listed=True
        )
    for assessor in ("omar", "priya"):
        entitle(
            who(assessor), start=date(2026, 1, 1), end=date(2026, 12, 31), qualification=GROUND, actor="Ines"
        )


def who(identifier):
    """Somebody's number."""
    return Person.objects.get(identifier=identifier).pk


def observed(person="ana", steps=WHOLE, time=MONDAY, assessor="omar", second=None, **facts):
    """What Omar observed of Ana on Monday morning, unless told otherwise."""
    told = {"key": uuid4(), "method": "patient", "ward": "Larch", **facts}
    return Observation(
        person=who(person),
        assessor=who(assessor),
        second=who(second) if second else None,
        checklist=documents.stored("checklist", date(2026, 1, 1)).pk,
        time=time,
        steps=steps,
        **told,
    )


def kept(*, actor="assessor omar", now=None, **facts):
    """The record of an observation, kept right after it was made."""
    what = observed(**facts)
    return record(what, actor=actor, now=now or what.time).demonstration
