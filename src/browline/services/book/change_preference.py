"""Setting a preference of the book: checked, recorded, and what is planned kept at its hour."""

from collections.abc import Callable
from datetime import datetime
from typing import TypeVar
from zoneinfo import ZoneInfo

from django.utils import timezone

from browline.errors import NotUnderstood
from browline.services.book.preferences import CHOICES, _known, choice, is_zone
from browline.store.event_log import recorded
from browline.store.models import Import, Session, Setting, Shift

M = TypeVar("M", datetime, datetime | None)


def set_choice(key: str, value: object, actor: str) -> None:
    """Set a value and record who did; refuses one that makes no sense."""
    _known(key)
    _sensible(key, value)
    with recorded(actor, "set", key, {"value": value}):
        if key == "zone":
            _move_clock(choice("zone") or "UTC", str(value or "UTC"))
        Setting.objects.update_or_create(key=key, defaults={"value": value})


def _move_clock(before: str, after: str) -> None:
    """What is planned stays at the hour it was planned for."""
    if before != after:
        keep_wall_clock(ZoneInfo(before), ZoneInfo(after), timezone.now())


def _sensible(key: str, value: object) -> None:
    allowed: dict[str, Callable[[object], bool]] = {
        "tolerance_c": lambda v: isinstance(v, int | float) and 0.05 <= v <= 2.0,
        "fever_c": lambda v: isinstance(v, int | float) and 37.0 <= v <= 39.5,
        "low_c": lambda v: isinstance(v, int | float) and 32.0 <= v <= 36.5,
        "false_share": lambda v: isinstance(v, int | float) and 0.0 < v <= 0.5,
        "paper": lambda v: v in ("a4", "us-letter"),
        "show_unit": lambda v: v in ("C", "F"),
        "zone": lambda v: isinstance(v, str) and (v == "" or is_zone(v)),
        "clean_days": lambda v: isinstance(v, int) and 1 <= v <= 366,
        "locate_days": lambda v: isinstance(v, int) and 1 <= v <= 366,
    }
    if key in allowed and not allowed[key](value):
        raise NotUnderstood(
            f"{key} cannot be {value!r}.", f"It is {CHOICES[key].meaning}.", "Choose another value."
        )


def take_computers_zone(zone: str, actor: str) -> str:
    """Choose this computer's zone, `zone`, for a book that has none; returns it, or "" where nothing was chosen.

    A book whose readings were taken as charted, without a zone, is left alone: their times would move.
    """
    if choice("zone") or Import.objects.in_force().filter(kind="readings", zone="").exists():
        return ""
    if zone:
        set_choice("zone", zone, actor)
    return zone


def keep_wall_clock(before: ZoneInfo, after: ZoneInfo, now: datetime) -> None:
    """Let sessions and turns still to come stand at the same hour of the wall's clock; call inside a transaction."""
    sessions = list(Session.objects.planned().filter(time__gte=now))
    for session in sessions:
        session.time = _same_hour(session.time, before, after)
        session.open_until = _same_hour(session.open_until, before, after)
    Session.objects.bulk_update(sessions, ["time", "open_until"], batch_size=500)
    turns = list(Shift.objects.filter(end__gte=now))
    for turn in turns:
        turn.start, turn.end = (_same_hour(end, before, after) for end in (turn.start, turn.end))
    Shift.objects.bulk_update(turns, ["start", "end"], batch_size=500)


def _same_hour(moment: M, before: ZoneInfo, after: ZoneInfo) -> M:
    return None if moment is None else moment.astimezone(before).replace(tzinfo=after)
