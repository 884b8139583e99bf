"""What the book remembers about itself: its settings, what was done to it, and work under way."""

from collections.abc import Mapping
from datetime import datetime
from typing import Self

from django.db import models


class Setting(models.Model):
    """One choice in force for this book (tolerance, zone, paper, ...)."""

    key = models.CharField(max_length=60, unique=True)
    value = models.JSONField()


class Event(models.Model):
    """Something that was done, by whom and when. Written in the same transaction as the deed."""

    at = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)
    verb = models.CharField(max_length=60)
    subject = models.CharField(max_length=120, blank=True)
    data = models.JSONField(default=dict)

    class Meta:
        ordering = ["-id"]

    def about(self, subject: str | int, data: Mapping[str, object] | None = None) -> None:
        """Say what the deed was about, where that is known after its first write only; in the same transaction."""
        self.subject = str(subject)[:120]
        self.data = self.data if data is None else dict(data)
        self.save(update_fields=["subject", "data"])


class Job(models.Model):
    """Long work carried out by a process of its own. Running with its lock free means: interrupted."""

    QUEUED, RUNNING, DONE, REFUSED, FAILED = "queued", "running", "done", "refused", "failed"

    made = models.DateTimeField(auto_now_add=True)
    verb = models.CharField(max_length=40)
    arguments = models.JSONField(default=dict)
    state = models.CharField(max_length=12, default=QUEUED)
    done = models.BigIntegerField(default=0)
    total = models.BigIntegerField(default=0)
    message = models.CharField(max_length=400, blank=True)
    started = models.DateTimeField(null=True)
    ended = models.DateTimeField(null=True)
    result = models.JSONField(default=dict)

    class Meta:
        ordering = ["-id"]


class PassRows(models.QuerySet["Pass"]):
    """Passes given out."""

    def valid(self, now: datetime) -> Self:
        """Those neither ended nor taken back."""
        return self.filter(revoked=None, until__gt=now)


class Pass(models.Model):
    """A right to some pages, held by whoever has its link, until it ends or is taken back.

    The link itself is not kept, only its digest. `person` is whose pass it is; a viewer's may be nobody's.
    """

    digest = models.CharField(max_length=64, unique=True)
    role = models.CharField(max_length=12)
    person = models.ForeignKey("Person", null=True, on_delete=models.CASCADE, related_name="passes")
    label = models.CharField(max_length=80, blank=True)
    made = models.DateTimeField(auto_now_add=True)
    until = models.DateTimeField()
    revoked = models.DateTimeField(null=True)
    actor = models.CharField(max_length=80)

    objects = PassRows.as_manager()

    class Meta:
        ordering = ["-id"]
        verbose_name_plural = "passes"


class WrongCode(models.Model):
    """That a code which is no session's was tried, from where (a keyed digest of the address) and when.

    Rows are swept once they are too old to count.
    """

    source = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["source", "at"], name="wrong_codes_of_a_source")]
