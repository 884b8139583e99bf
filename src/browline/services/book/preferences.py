"""The choices in force for this book: what she may set, what it is until she does, and why that value."""

from dataclasses import dataclass
from typing import Any

from browline.errors import NotUnderstood


@dataclass(frozen=True)
class Choice:
    """One thing that may be set: its value until then, and what it means."""

    until_set: Any
    meaning: str


CHOICES: dict[str, Choice] = {
    "hospital": Choice("", "the hospital's name as it should stand on reports"),
    "zone": Choice("", "time zone of the charts, for example Europe/London; empty: as charted"),
    "tolerance_c": Choice(0.3, "an effect beyond this many degrees Celsius is worth a check"),
    "fever_c": Choice(38.0, "the fever line in force, degrees Celsius, met by values at or over it"),
    "low_c": Choice(
        35.0, "the low line in degrees Celsius: a core under it counts as low where a reading is questioned"
    ),
    "false_share": Choice(0.10, "share of flags that may be expected to be false alarms"),
    "paper": Choice("a4", "paper of printed reports: a4 or us-letter"),
    "show_unit": Choice("C", "the unit shown first: C or F"),
    "decision": Choice("", "the decision asked of the committee; empty: the report proposes one"),
    "owner": Choice("", "who answers for the actions on reports"),
    "reference_site": Choice("", "the site that others are compared with; empty: chosen from the charts"),
    "clean_days": Choice(14, "days after which a lens is due to be cleaned again"),
    "locate_days": Choice(7, "days after which an instrument that no round has seen counts as not located"),
}


def choice(key: str) -> Any:
    """The value in force."""
    from browline.store.models import Setting

    _known(key)
    kept = Setting.objects.filter(key=key).first()
    return CHOICES[key].until_set if kept is None else kept.value


def choices() -> dict[str, Any]:
    """Every value in force."""
    return {key: choice(key) for key in CHOICES}


def set_choice(key: str, value: Any, actor: str) -> None:
    """Set a value and record who did; refuses one that makes no sense."""
    from django.db import transaction

    from browline.store.models import Event, Setting

    _known(key)
    _sensible(key, value)
    with transaction.atomic():
        Event.objects.create(actor=actor, verb="set", subject=key, data={"value": value})
        if key == "zone":
            _move_clock(choice("zone") or "UTC", value or "UTC")
        Setting.objects.update_or_create(key=key, defaults={"value": value})


def _move_clock(before: str, after: str) -> None:
    """What is planned stays at the hour it was planned for."""
    from zoneinfo import ZoneInfo

    from django.utils import timezone

    from browline.services.book.clock import keep_wall_clock

    if before != after:
        keep_wall_clock(ZoneInfo(before), ZoneInfo(after), timezone.now())


def _known(key: str) -> None:
    if key not in CHOICES:
        raise NotUnderstood(
            f"{key!r} cannot be set.", f"Known are: {', '.join(CHOICES)}.", "Use one of these."
        )


def _sensible(key: str, value: Any) -> None:
    allowed = {
        "tolerance_c": lambda v: isinstance(v, int | float) and 0.05 <= v <= 2.0,
        "fever_c": lambda v: isinstance(v, int | float) and 37.0 <= v <= 39.5,
        "low_c": lambda v: isinstance(v, int | float) and 32.0 <= v <= 36.5,
        "false_share": lambda v: isinstance(v, int | float) and 0.0 < v <= 0.5,
        "paper": lambda v: v in ("a4", "us-letter"),
        "show_unit": lambda v: v in ("C", "F"),
        "zone": lambda v: v == "" or is_zone(v),
        "clean_days": lambda v: isinstance(v, int) and 1 <= v <= 366,
        "locate_days": lambda v: isinstance(v, int) and 1 <= v <= 366,
    }
    if key in allowed and not allowed[key](value):
        raise NotUnderstood(
            f"{key} cannot be {value!r}.", f"It is {CHOICES[key].meaning}.", "Choose another value."
        )


def is_zone(name: str) -> bool:
    """Whether this is the name of a time zone."""
    from zoneinfo import ZoneInfo

    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
