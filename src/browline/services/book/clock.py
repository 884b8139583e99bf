"""The hospital's clock: the zone in force, the day a moment falls on, and what becomes of plans when it is changed."""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from browline.services.book.preferences import choice, is_zone, set_choice


def ward_zone() -> ZoneInfo:
    """The zone chosen for this book; UTC where none is."""
    return ZoneInfo(choice("zone") or "UTC")


def local_day(moment: datetime, zone: ZoneInfo | None = None) -> date:
    """The day of an aware moment on the hospital's clock; `zone` saves asking for it once a row."""
    return moment.astimezone(zone or ward_zone()).date()


def take_computers_zone(found: str, actor: str) -> str:
    """Choose this computer's zone, as `found`, for a book that has none; returns it, or "" where nothing was chosen.

    A book whose readings were taken as charted, without a zone, is left alone: their times would move.
    """
    from browline.store.models import Import

    if choice("zone") or Import.objects.filter(kind="readings", zone="", undone=None).exists():
        return ""
    if found:
        set_choice("zone", found, actor)
    return found


def computers_zone() -> str:
    """The name of this computer's zone, such as Europe/London; "" where it has none of that kind.

    To be asked before a book is opened: opening one sets this process to UTC.
    """
    import tzlocal

    found = tzlocal.get_localzone_name() or ""
    return found if is_zone(found) else ""


def keep_wall_clock(before: ZoneInfo, after: ZoneInfo, now: datetime) -> None:
    """Let sessions and turns still to come stand at the same hour of the wall's clock; call inside a transaction."""
    from browline.store.models import Session, Shift

    sessions = list(Session.objects.filter(state=Session.PLANNED, time__gte=now))
    for session in sessions:
        session.time = _same_hour(session.time, before, after)
        session.open_until = _same_hour(session.open_until, before, after)
    Session.objects.bulk_update(sessions, ["time", "open_until"], batch_size=500)
    turns = list(Shift.objects.filter(end__gte=now))
    for turn in turns:
        turn.start, turn.end = (_same_hour(end, before, after) for end in (turn.start, turn.end))
    Shift.objects.bulk_update(turns, ["start", "end"], batch_size=500)


def _same_hour(moment: Any, before: ZoneInfo, after: ZoneInfo) -> Any:
    return None if moment is None else moment.astimezone(before).replace(tzinfo=after)
