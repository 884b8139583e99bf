"""What was typed of one reading: its value in °C, its site, and in words what was taken otherwise than written.

A unit is taken as given, else by the size of the number as an import does; between 45 and 77 nothing is guessed.
"""

from browline.errors import InputRefused
from browline.intake.codes import REASONS, REPAIRS
from browline.intake.values import read_value
from browline.quantities.sites import SITE_NAMES, site_from_word
from browline.questioned.problem import READ_SITES

UNITS: dict[str, str] = {"": "°C or °F", "C": "°C", "F": "°F"}
# That the size of the number says the unit is how values are usually typed, so it is no news.
SILENT = ("unit-by-range", "decimal-comma", "text-beside-number")


def value_typed(text: str, unit: str = "") -> tuple[float, tuple[str, ...]]:
    """The value in °C, and what was mended; refused where it is no temperature or its unit cannot be told.

    >>> value_typed("101.3 F")[0], value_typed("38,4")[0]
    (38.5, 38.4)
    """
    if unit not in UNITS:
        raise InputRefused(f"The unit is {unit!r}.", "Known are C and F.", "Give one, or none.")
    read = read_value(text, unit or None)
    if read.celsius is None:
        why = REASONS.get(read.reason or "", "The value cannot be read.")
        raise InputRefused(
            f"The value is {text.strip()!r}. {why}", "A reading is one temperature.", "Mend it."
        )
    mended = tuple(f"{text.strip()}: {REPAIRS[code]}" for code in read.repairs if code not in SILENT)
    return round(read.celsius, 6), mended


def site_typed(text: str) -> str:
    """The site that a word means: a canonical name or a word of the charts.

    >>> site_typed("Forehead"), site_typed("rectal")
    ('temporal', 'rectal')
    """
    site = text.strip() if text.strip() in READ_SITES else site_from_word(text)
    if site not in READ_SITES:
        known = ", ".join(f"{name} ({SITE_NAMES[name]})" for name in READ_SITES)
        raise InputRefused(f"The site is {text.strip()!r}.", f"Known are {known}.", "Choose one.")
    return site
