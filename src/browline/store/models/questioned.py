"""The log of questioned readings. It holds nothing that names a patient: closed lists, values, a week, a ward."""

import uuid

from django.db import models

from browline.store.models.locked import Locked


class QuestionedReading(Locked):
    """One time that a reading was questioned. Locked: a wrong line is taken back, and entered anew.

    `week` is the Monday of its week and `part` the part of the day: no clock time, and none of when the line was
    entered. `values`: in the order read, each with site, instrument ("" for one not in the register), value and the
    unit it was read in; `accepted`: the place of the one that was accepted, None where none was. `cause` leads,
    `others` were found besides; `done`: what was done. `key` was made with the form, so one sent twice is kept once.
    """

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    week = models.DateField()
    part = models.CharField(max_length=12, blank=True)
    ward = models.CharField(max_length=80, blank=True)
    age = models.CharField(max_length=24, blank=True)
    values = models.JSONField()
    accepted = models.PositiveSmallIntegerField(null=True)
    cause = models.CharField(max_length=12)
    others = models.JSONField(default=list)
    done = models.JSONField(default=list)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["week", "id"]


class QuestionedTakenBack(Locked):
    """A line that counts no more, with the reason from a closed list; the line itself stays as it was written."""

    line = models.OneToOneField(QuestionedReading, on_delete=models.PROTECT, related_name="taken_back")
    reason = models.CharField(max_length=12)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["id"]
