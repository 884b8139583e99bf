"""Records that are never changed: a later one stands beside an earlier one."""

from collections.abc import Iterable
from typing import Any, NoReturn, TypeVar

from django.db import models

_Row = TypeVar("_Row", bound=models.Model)


class RecordIsLocked(Exception):
    """Somebody's program tried to change or delete a record that stands."""


class LockedRows(models.QuerySet[_Row]):
    """Rows that may be added and read."""

    def bulk_create(self, objs: Iterable[_Row], *args: Any, **kwargs: Any) -> list[_Row]:
        """Write new records; writing over those that stand is refused."""
        if kwargs.get("update_conflicts") or (len(args) > 2 and args[2]):
            raise RecordIsLocked(f"{self.model.__name__} is locked; add a record that amends it.")
        return super().bulk_create(objs, *args, **kwargs)

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
        # What Django itself reads and writes through is locked as well.
        base_manager_name = "objects"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Write a new record; refuse to write over one that stands."""
        if self.pk is not None and type(self).objects.filter(pk=self.pk).exists():
            raise RecordIsLocked(f"{type(self).__name__} is locked; add a record that amends it.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise RecordIsLocked(f"{type(self).__name__} is locked; add a record that amends it.")
