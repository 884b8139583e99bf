"""The hospital's clock: the zone in force, the day a moment falls on, and what becomes of plans when it is changed."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.conf import settings

from browline.services.book.preferences import choice, is_zone

# Beyond these a year is a slip, and the ends of time that a calendar has are near.
YEARS = range(2000, 2101)


def ward_zone() -> ZoneInfo:
    """The zone chosen for this book; UTC where none is."""
    return ZoneInfo(choice("zone") or "UTC")


def local_day(moment: datetime, zone: ZoneInfo | None = None) -> date:
    """The day of an aware moment on the hospital's clock; `zone` saves asking for it once a row."""
    return moment.astimezone(zone or ward_zone()).date()


def computers_zone() -> str:
    """The name of this computer's zone, such as Europe/London; "" where it has none of that kind."""
    import tzlocal

    with _environment_before_django():
        name = tzlocal.get_localzone_name() or ""
    return name if is_zone(name) else ""


@contextmanager
def _environment_before_django() -> Iterator[None]:
    """`TZ` as it was before Django set this process to UTC."""
    now = os.environ.pop("TZ", None)
    if settings.COMPUTERS_TZ is not None:
        os.environ["TZ"] = settings.COMPUTERS_TZ
    try:
        yield
    finally:
        os.environ.pop("TZ", None)
        if now is not None:
            os.environ["TZ"] = now
