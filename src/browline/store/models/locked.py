"""Records that are never changed: a later one stands beside an earlier one."""

from typing import Any, NoReturn

from django.db import models


class RecordIsLocked(Exception):
    """Somebody's program tried to change or delete a record that stands."""


class LockedRows(models.QuerySet):  # type: ignore[type-arg]
    """Rows that may be added and read."""

    def update(self, **values: Any) -> NoReturn:
        """Refused."""
        raise RecordIsLocked(f"{self.model.__name__} is locked; add a record that amends it.")

    def delete(self) -> NoReturn:
        """Refused."""
        raise RecordIsLocked(f"{self.model.__name__} is locked; add a record that amends it.")


class Locked(models.Model):
    """A record that is written once."""

    objects = LockedRows.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Write a new record; refuse to write over one that stands."""
        if self.pk is not None and type(self).objects.filter(pk=self.pk).exists():
            raise RecordIsLocked(f"{type(self).__name__} is locked; add a record that amends it.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise RecordIsLocked(f"{type(self).__name__} is locked; add a record that amends it.")
