"""Teaching: return demonstrations and their second scores, who may assess, champions."""

import uuid
from typing import ClassVar, Self

from django.db import models

from browline.store.models.locked import Locked, LockedRows
from browline.store.models.register import Person
from browline.store.models.rows import DatedRows


class StandingRows(DatedRows["AssessorStanding"]):
    """Times for which people may assess."""


class ChampionRows(DatedRows["Champion"]):
    """Times for which people help on a ward."""


class DemonstrationRows(LockedRows["Demonstration"]):
    """Records of return demonstrations."""

    def in_force(self) -> Self:
        """Those that count: not replaced by an amendment, not withdrawn."""
        return self.filter(amended_by=None).exclude(outcome=Demonstration.WITHDRAWN)


Demonstrations = models.Manager.from_queryset(DemonstrationRows)


class AssessorStanding(models.Model):
    """That a person may assess others from one day to another, and on what ground."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="standings")
    start = models.DateField()
    end = models.DateField(null=True)
    qualification = models.CharField(max_length=200)
    actor = models.CharField(max_length=80)

    objects = StandingRows.as_manager()

    class Meta:
        ordering = ["start"]


class Demonstration(Locked):
    """One observed return demonstration. Locked: an amendment is a record that names the one it replaces.

    `key` was made where it was recorded, so the same record sent twice is kept once. `steps` holds, by step of
    the checklist's version, done, missed or not-seen. `second` is a second assessor who was there.
    """

    # An amendment that says the record should not have been made.
    WITHDRAWN = "withdrawn"

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="demonstrations")
    assessor = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="observed")
    second = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="seconded")
    checklist = models.ForeignKey("ControlledDocument", on_delete=models.PROTECT, related_name="+")
    time = models.DateTimeField()
    ward = models.CharField(max_length=80, blank=True)
    instrument = models.CharField(max_length=80, blank=True)
    method = models.CharField(max_length=16)
    steps = models.JSONField()
    outcome = models.CharField(max_length=12)
    attempt = models.PositiveIntegerField()
    taught = models.CharField(max_length=400, blank=True)
    amends = models.OneToOneField("self", null=True, on_delete=models.PROTECT, related_name="amended_by")
    reason = models.CharField(max_length=200, blank=True)
    received = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)

    objects: ClassVar["Demonstrations[Demonstration]"] = Demonstrations()

    class Meta:
        ordering = ["time", "id"]


class SecondScore(Locked):
    """The same demonstration scored by another assessor on their own, to see whether assessors agree."""

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    demonstration = models.ForeignKey(Demonstration, on_delete=models.PROTECT, related_name="second_scores")
    assessor = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="second_scores")
    steps = models.JSONField()
    outcome = models.CharField(max_length=12)
    received = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["demonstration", "assessor"], name="one_second_score_each")
        ]


class Champion(models.Model):
    """Somebody on a ward who helps colleagues between visits."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="championships")
    ward = models.CharField(max_length=80)
    start = models.DateField()
    end = models.DateField(null=True)

    objects = ChampionRows.as_manager()

    class Meta:
        ordering = ["ward", "start"]
