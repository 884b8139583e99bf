"""Rosters: what a code means, who works when and where, and who is away for long."""

from typing import Self

from django.db import models

from browline.shifts import ON_DUTY
from browline.store.models.imports import Import
from browline.store.models.register import Person
from browline.store.models.rows import DatedRows, ward_names


class ShiftCode(models.Model):
    """What a code of the roster stands for, settled once. `kind` is one of `browline.shifts.KINDS`."""

    code = models.CharField(max_length=20, unique=True)
    kind = models.CharField(max_length=12)
    start = models.TimeField(null=True)
    end = models.TimeField(null=True)

    class Meta:
        ordering = ["code"]


class ShiftRows(models.QuerySet["Shift"]):
    """Lines of the roster."""

    def on_duty(self) -> Self:
        """Turns of duty; days away and codes that nobody settled are left out."""
        return self.filter(kind__in=ON_DUTY)

    def wards(self) -> set[str]:
        """The wards that they name."""
        return ward_names(self)


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

    objects = ShiftRows.as_manager()

    class Meta:
        ordering = ["date", "start"]
        constraints = [
            models.UniqueConstraint(fields=["person", "date", "ward", "code"], name="one_shift_once")
        ]


class AbsenceRows(DatedRows["Absence"]):
    """Times for which people are not counted."""


class Absence(models.Model):
    """Why a person is not to be counted for a while. `reason` is one of `browline.shifts.ABSENCES`."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="absences")
    start = models.DateField()
    end = models.DateField(null=True)
    reason = models.CharField(max_length=20)
    actor = models.CharField(max_length=80)

    objects = AbsenceRows.as_manager()

    class Meta:
        ordering = ["start"]
