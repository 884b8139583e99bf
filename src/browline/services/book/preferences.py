"""The choices in force for this book: what she may set, what it is until she does, and why that value."""

from dataclasses import dataclass
from typing import Literal, overload

from browline.errors import NotUnderstood
from browline.store.models import Setting

Preference = str | int | float
Text = Literal["hospital", "zone", "paper", "show_unit", "decision", "owner", "reference_site"]
Amount = Literal["tolerance_c", "fever_c", "low_c", "false_share"]
Days = Literal["clean_days", "locate_days"]
# The lines and the unit until she sets others; the lines in degrees Celsius.
FEVER_C, LOW_C, SHOW_UNIT = 38.0, 35.0, "C"


@dataclass(frozen=True)
class Choice:
    """One thing that may be set: its value until then, what it means, and for the reference what it rests on."""

    until_set: Preference
    meaning: str
    source: str = ""


CHOICES: dict[str, Choice] = {
    "hospital": Choice("", "the hospital's name as it should stand on reports"),
    "zone": Choice("", "time zone of the charts, for example Europe/London; empty: as charted"),
    "tolerance_c": Choice(
        0.3,
        "an effect beyond this many degrees Celsius is worth a check",
        "0.3 °C is the usual laboratory limit for infrared skin thermometers (ASTM E1965 and ISO 80601-2-56, from "
        "memory and second hand), so a smaller bias is not evidence against an instrument",
    ),
    "fever_c": Choice(
        FEVER_C,
        "the fever line in force, degrees Celsius, met by values at or over it",
        "The audit looks for values held just under it. Local policy decides",
    ),
    "low_c": Choice(
        LOW_C,
        "the low line in degrees Celsius: a core under it counts as low where a reading is questioned",
        "Under 35.0 °C is the usual definition of hypothermia (from memory). Local policy decides",
    ),
    "false_share": Choice(0.10, "share of flags that may be expected to be false alarms"),
    "paper": Choice("a4", "paper of printed reports: a4 or us-letter"),
    "show_unit": Choice(SHOW_UNIT, "the unit shown first: C or F"),
    "decision": Choice("", "the decision asked of the committee; empty: the report proposes one"),
    "owner": Choice("", "who answers for the actions on reports"),
    "reference_site": Choice(
        "",
        "the site that others are compared with; empty: chosen from the charts",
        "It is then the most charted core site shared with enough stays, else the most charted",
    ),
    "clean_days": Choice(
        14,
        "days after which a lens is due to be cleaned again",
        "Common practice, no source; the instrument's instructions come first",
    ),
    "locate_days": Choice(
        7,
        "days after which an instrument that no round has seen counts as not located",
        "Common practice, no source",
    ),
}


@overload
def choice(key: Text) -> str: ...
@overload
def choice(key: Amount) -> float: ...
@overload
def choice(key: Days) -> int: ...
@overload
def choice(key: str) -> Preference: ...
def choice(key: str) -> Preference:
    """The value in force."""
    _known(key)
    stored = Setting.objects.filter(key=key).first()
    value: Preference = CHOICES[key].until_set if stored is None else stored.value
    return value


def choices() -> dict[str, object]:
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
