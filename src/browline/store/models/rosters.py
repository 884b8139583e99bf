"""Rosters: what a code means, who works when and where, and who is away for long."""

from django.db import models

from browline.store.models.imports import Import
from browline.store.models.register import Person


class ShiftCode(models.Model):
    """What a code of the roster stands for, settled once. `kind` is one of `browline.shifts.KINDS`."""

    code = models.CharField(max_length=20, unique=True)
    kind = models.CharField(max_length=12)
    start = models.TimeField(null=True)
    end = models.TimeField(null=True)

    class Meta:
        ordering = ["code"]


class Shift(models.Model):
    """One person's turn of duty, or a day away, as the latest roster has it. Times only where on duty."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="shifts")
    date = models.DateField(db_index=True)
    ward = models.CharField(max_length=80, blank=True)
    code = models.CharField(max_length=20)
    kind = models.CharField(max_length=12)
    start = models.DateTimeField(null=True)
    end = models.DateTimeField(null=True)
    source = models.ForeignKey(Import, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        ordering = ["date", "start"]
        constraints = [
            models.UniqueConstraint(fields=["person", "date", "ward", "code"], name="one_shift_once")
        ]


class Absence(models.Model):
    """Why a person is not to be counted for a while. `reason` is one of `browline.shifts.ABSENCES`."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="absences")
    start = models.DateField()
    end = models.DateField(null=True)
    reason = models.CharField(max_length=20)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["start"]
