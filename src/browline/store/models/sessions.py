"""Sessions, who signed in to them, and proposed plans of them."""

from typing import Self

from django.db import models

from browline.documents.plan import PlanDocument, read_plan
from browline.store.models.register import Person


class SessionRows(models.QuerySet["Session"]):
    """Classes and visits."""

    def planned(self) -> Self:
        """Those neither held nor cancelled."""
        return self.filter(state=Session.PLANNED)

    def not_cancelled(self) -> Self:
        """Those planned or held."""
        return self.exclude(state=Session.CANCELLED)


class SignInRows(models.QuerySet["SignIn"]):
    """Ways in which people were signed in."""

    def not_struck(self) -> Self:
        """Those that nobody struck as entered by mistake."""
        return self.filter(struck="")


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

    objects = SessionRows.as_manager()

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

    objects = SignInRows.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["session", "person", "how"], name="one_sign_in_a_way")]


class SessionPlan(models.Model):
    """A plan that was proposed: what was asked for, and what came of it."""

    made = models.DateTimeField(auto_now_add=True)
    options = models.JSONField(default=dict)
    result = models.JSONField(default=dict)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["-id"]

    @property
    def document(self) -> PlanDocument:
        """What came of it as every door reads it, whichever version made it."""
        return read_plan(self.result)
