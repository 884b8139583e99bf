"""What is asked again of more than one noun: what lasts on a day, and which wards rows name."""

from collections.abc import Iterable
from datetime import date
from typing import Self, TypeVar

from django.db import models
from django.db.models import Q

Row = TypeVar("Row", bound=models.Model)


def lasting(day: date, lookup: str = "") -> Q:
    """Ends on `day` at the earliest, or not at all; `lookup`: the one that leads to the row with the end."""
    return Q(**{f"{lookup}end": None}) | Q(**{f"{lookup}end__gte": day})


class DatedRows(models.QuerySet[Row]):
    """Rows with an `end`, None while they go on; a row counts on its last day too."""

    def lasting(self, day: date) -> Self:
        """Those that end on `day` at the earliest, or not at all."""
        return self.filter(lasting(day))

    def lasting_beyond(self, day: date) -> Self:
        """Those that end later than `day`, or not at all."""
        return self.filter(Q(end=None) | Q(end__gt=day))

    def on(self, day: date) -> Self:
        """Those that count on `day`: begun by then, and not ended before."""
        return self.lasting(day).filter(start__lte=day)


def ward_names(rows: models.QuerySet[Row]) -> set[str]:
    """The wards that these rows name."""
    names: Iterable[str] = rows.order_by().values_list("ward", flat=True).distinct()
    return set(names) - {""}
