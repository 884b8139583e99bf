"""The registers: instruments with their cleanings and checks, people with their sessions, dated events."""

from typing import Self

from django.db import models

from browline.store.models.rows import DatedRows, Row, ward_names


class RegisterRows(DatedRows[Row]):
    """Instruments or people: those somebody entered, and those that files or phones brought."""

    def listed(self) -> Self:
        """Those on the register or the list of staff."""
        return self.filter(listed=True)

    def unlisted(self) -> Self:
        """Those known from charts, rosters, rounds or sign-ins alone."""
        return self.filter(listed=False)

    def wards(self) -> set[str]:
        """The wards that they name."""
        return ward_names(self)


class Instrument(models.Model):
    """A thermometer. `listed` is false for one seen in charts but never entered in a register."""

    name = models.CharField(max_length=80, unique=True)
    unit = models.CharField(max_length=1, blank=True)
    mode = models.CharField(max_length=20, blank=True)
    kind = models.CharField(max_length=20, blank=True)
    model = models.CharField(max_length=80, blank=True)
    ward = models.CharField(max_length=80, blank=True)
    start = models.DateField(null=True)
    end = models.DateField(null=True)
    listed = models.BooleanField(default=True)

    objects = RegisterRows.as_manager()

    class Meta:
        ordering = ["name"]


class Cleaning(models.Model):
    """One cleaning of an instrument."""

    instrument = models.ForeignKey(Instrument, on_delete=models.CASCADE, related_name="cleanings")
    time = models.DateTimeField()
    part = models.CharField(max_length=10, blank=True)
    agent = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["time"]
        constraints = [
            models.UniqueConstraint(fields=["instrument", "time", "part"], name="one_cleaning_once")
        ]


class Check(models.Model):
    """One comparison of an instrument with a reference, in degrees Celsius."""

    instrument = models.ForeignKey(Instrument, on_delete=models.CASCADE, related_name="checks")
    time = models.DateTimeField()
    reference = models.FloatField()
    shown = models.FloatField()
    mode = models.CharField(max_length=20, blank=True)
    ambient = models.FloatField(null=True)
    uncertainty = models.FloatField(null=True)
    result = models.CharField(max_length=40, blank=True)

    class Meta:
        ordering = ["time"]
        constraints = [
            models.UniqueConstraint(
                fields=["instrument", "time", "reference", "shown"], name="one_check_once"
            )
        ]


class PersonRows(RegisterRows[Row]):
    """People whom charts, rosters and lists name."""

    def rostered(self) -> Self:
        """Those who are in a roster."""
        return self.filter(shifts__isnull=False).distinct()


class Person(models.Model):
    """A member of staff. Identifier and name are kept as given, here only; readings hold the pseudonym."""

    identifier = models.CharField(max_length=120, unique=True)
    name = models.CharField(max_length=120, blank=True)
    pseudonym = models.BigIntegerField(unique=True)
    role = models.CharField(max_length=80, blank=True)
    ward = models.CharField(max_length=80, blank=True)
    start = models.DateField(null=True)
    end = models.DateField(null=True)
    listed = models.BooleanField(default=True)

    objects = PersonRows.as_manager()

    class Meta:
        ordering = ["identifier"]

    @property
    def shown(self) -> str:
        """The name on sheets: the name where one is known, else the identifier."""
        return self.name or self.identifier

    @property
    def told_apart(self) -> str:
        """Name and identifier, for where somebody is picked: two may bear one name."""
        return f"{self.name} ({self.identifier})" if self.name else self.identifier


class Attendance(models.Model):
    """A person at a teaching session, and what came of it."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="attendances")
    time = models.DateTimeField()
    ward = models.CharField(max_length=80, blank=True)
    outcome = models.CharField(max_length=12, blank=True)
    assessor = models.ForeignKey(Person, null=True, on_delete=models.SET_NULL, related_name="assessed")

    class Meta:
        ordering = ["time"]
        constraints = [
            models.UniqueConstraint(fields=["person", "time", "outcome"], name="one_attendance_once")
        ]


class DatedEvent(models.Model):
    """Something with a date that may explain a change: form changed, instruments delivered, session held."""

    time = models.DateTimeField()
    what = models.CharField(max_length=160)
    ward = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["time"]
        constraints = [models.UniqueConstraint(fields=["time", "what", "ward"], name="one_event_once")]
