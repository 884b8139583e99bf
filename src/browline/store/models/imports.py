"""What came in: one row an import, the mappings she confirmed, the repairs she took back."""

from typing import Self

from django.db import models


class ImportRows(models.QuerySet["Import"]):
    """What came in."""

    def in_force(self) -> Self:
        """Imports that nobody took back."""
        return self.filter(undone=None)

    def readings_of(self, digest: str) -> Self:
        """Imports in force by which readings of one file came in."""
        return self.in_force().filter(digest=digest, kind="readings", taken__gt=0)


class Import(models.Model):
    """One table of one file, taken in one transaction: this row's commit is the import.

    The file's own name is not kept, because names of exports hold identifiers; `label` says what it was.
    `readings_file` and `set_aside_file` name Parquet files in the book's `readings` folder.
    """

    at = models.DateTimeField(auto_now_add=True)
    kind = models.CharField(max_length=20)
    label = models.CharField(max_length=120)
    digest = models.CharField(max_length=64)
    rows = models.BigIntegerField()
    taken = models.BigIntegerField()
    already_here = models.BigIntegerField()
    set_aside = models.BigIntegerField()
    repaired = models.BigIntegerField()
    mapping = models.JSONField(default=dict)
    reasons = models.JSONField(default=list)
    notes = models.JSONField(default=list)
    zone = models.CharField(max_length=60, blank=True)
    readings_file = models.CharField(max_length=80, blank=True)
    set_aside_file = models.CharField(max_length=80, blank=True)
    first = models.DateTimeField(null=True)
    last = models.DateTimeField(null=True)
    undone = models.DateTimeField(null=True)

    objects = ImportRows.as_manager()

    class Meta:
        ordering = ["-id"]


class SavedMapping(models.Model):
    """A mapping she confirmed, found again by the headings of the next export."""

    signature = models.CharField(max_length=64, unique=True)
    kind = models.CharField(max_length=20)
    toml = models.TextField()
    at = models.DateTimeField(auto_now=True)


class UndoneRepair(models.Model):
    """A repair taken back for one import: its rows count as set aside from then on."""

    source = models.ForeignKey(Import, on_delete=models.CASCADE, related_name="undone_repairs")
    code = models.CharField(max_length=40)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["source", "code"], name="one_undo_a_repair")]


class WardAlias(models.Model):
    """Another way the charts write a ward's name; joined by her, never by us."""

    alias = models.CharField(max_length=80, unique=True)
    ward = models.CharField(max_length=80)
