"""Teaching: sessions and who signed in, return demonstrations, who may assess, champions, proposed plans."""

import uuid

from django.db import models

from browline.store.models.locked import Locked
from browline.store.models.register import Person


class Session(models.Model):
    """A class or visit on a ward. `code` lets phones sign in while it is open.

    `open_until` is set where people may sign in until another moment than the usual one.
    """

    PLANNED, HELD, CANCELLED = "planned", "held", "cancelled"

    time = models.DateTimeField()
    minutes = models.PositiveIntegerField(default=20)
    ward = models.CharField(max_length=80, blank=True)
    educator = models.CharField(max_length=120, blank=True)
    state = models.CharField(max_length=12, default=PLANNED)
    code = models.CharField(max_length=12, unique=True)
    note = models.CharField(max_length=200, blank=True)
    open_until = models.DateTimeField(null=True)

    class Meta:
        ordering = ["time", "id"]


class SignIn(models.Model):
    """That a person was at a session, as one way of signing in tells it; the same told twice is one row.

    What is known of a session is the set of these rows, so the order in which phones and sheets arrive cannot
    matter. One entered by mistake is struck with a reason, by the educator, and stays struck for that way.
    """

    PHONE, PAPER, FILE = "phone", "paper", "file"

    session = models.ForeignKey(Session, on_delete=models.PROTECT, related_name="sign_ins")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="sign_ins")
    how = models.CharField(max_length=8)
    received = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)
    struck = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["session", "person", "how"], name="one_sign_in_a_way")]


class AssessorStanding(models.Model):
    """That a person may assess others from one day to another, and on what ground."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="standings")
    start = models.DateField()
    end = models.DateField(null=True)
    qualification = models.CharField(max_length=200)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["start"]


class Demonstration(Locked):
    """One observed return demonstration. Locked: an amendment is a record that names the one it replaces.

    `key` was made where it was recorded, so the same record sent twice is kept once. `steps` holds, by step of
    the checklist's version, done, missed or not-seen. `second` is a second assessor who was there.
    """

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

    class Meta:
        ordering = ["ward", "start"]


class SessionPlan(models.Model):
    """A plan that was proposed: what was asked for, and what came of it."""

    made = models.DateTimeField(auto_now_add=True)
    options = models.JSONField(default=dict)
    result = models.JSONField(default=dict)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["-id"]
