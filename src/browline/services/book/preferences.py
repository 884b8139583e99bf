"""The choices in force for this book: what she may set, what it is until she does, and why that value."""

from dataclasses import dataclass
from typing import Any

from browline.errors import NotUnderstood
from browline.store.models import Setting


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
    _known(key)
    kept = Setting.objects.filter(key=key).first()
    return CHOICES[key].until_set if kept is None else kept.value


def choices() -> dict[str, Any]:
    """Every value in force."""
    return {key: choice(key) for key in CHOICES}


def _known(key: str) -> None:
    if key not in CHOICES:
        raise NotUnderstood(
            f"{key!r} cannot be set.", f"Known are: {', '.join(CHOICES)}.", "Use one of these."
        )


def is_zone(name: str) -> bool:
    """Whether this is the name of a time zone."""
    from zoneinfo import ZoneInfo

    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
