"""Temperatures that are nobody's: of gas, water, rooms, cupboards and machines, and how warm a limb feels.

Common practice, no source. A column or a row named so holds no patient's temperature, however likely its
numbers look: heated breathing gas is kept near 37 °C on purpose.
"""

import re
from collections.abc import Collection, Sequence

from browline.errors import InputRefused
from browline.intake.non_numeric_words import word_set
from browline.intake.profile import Profile, is_date, is_number, safe_heading
from browline.intake.units import tokens

# Nobody lies in these; a room, a cot or an incubator may also be a patient's place.
_STORES = word_set(
    "fridge fridges refrigerator refrigerators freezer freezers oven autoclave waterbath humidifier dialysate"
)
_THINGS = _STORES | word_set(
    "gas gases inspired inspiratory airway ventilator ventilators vent humidifiers humidified humidification "
    "circuit blanket blankets mattress warmer incubator limb limbs extremity extremities feel feels warmth room "
    "ambient environment environmental indoor outdoor air water bath cabinet cupboard oxygenator infusion "
    "heater heaters hfnc humidity chamber oxygen tubing foot feet toe toes"
)
# Beside the temperature itself these name what belongs to it: its place, its goal, its tool.
_BESIDE_IT = word_set("skin set setpoint target goal site route source method device location alarm limit")
_TEMPERATURE = word_set("temp temps temperature temperatures tmp")
# Of a gas or an acidity worked out for the patient's temperature.
_WORKED_OUT = re.compile(r"\btemp(erature)? (corr|corrected|adjusted)\b")
_MOST_WORDS = 60
_LEAST_PROPORTION, _NEARLY_ALL = 0.1, 0.9


def names_a_thing(text: str) -> bool:
    """Whether a heading, an item or a place names a thing, a room or a limb's feel instead of a body.

    >>> names_a_thing("Inspired gas temperature"), names_a_thing("pCO2 (temp corrected)"), names_a_thing("Temp (C)")
    (True, True, False)
    """
    words = tokens(text)
    return bool(set(words) & _THINGS) or bool(_WORKED_OUT.search(" ".join(words)))


def is_no_body_temperature(text: str) -> bool:
    """Whether an item is of a thing, or is what stands beside a temperature: its site, its target.

    >>> is_no_body_temperature("Temp Site"), is_no_body_temperature("Humidifier Temp")
    (True, True)
    """
    return names_a_thing(text) or bool(set(tokens(text)) & _BESIDE_IT)


def is_non_body_site(text: str) -> bool:
    """Whether the cell of a site names a thing; one with a number may be a bed ("Room 4") and does not count.

    >>> is_non_body_site("Ventilator gas"), is_non_body_site("Room 4"), is_non_body_site("Oral")
    (True, False, False)
    """
    return names_a_thing(text) and not re.search(r"\d", text)


def refuse_things(
    profiles: Sequence[Profile], value_headings: Collection[str], body: Collection[str]
) -> None:
    """Refuse a table whose temperatures are only those of things; `body`: headings of columns with a body's items."""
    for heading in value_headings:
        if names_a_thing(heading):
            raise _refused(f"The temperatures of the table stand under “{safe_heading(heading)}”.")
    for p in profiles:
        if p.heading not in body and _lists_things(p):
            raise _refused(
                f"Under “{safe_heading(p.heading)}” the table names only things, rooms or breathing gas."
            )


def _lists_things(p: Profile) -> bool:
    """Whether a column names on every row an item or a place, and temperatures only of things."""
    if not p.filled or p.filled < _NEARLY_ALL * p.rows or len(p.texts) > _MOST_WORDS:
        return False
    if set(tokens(p.heading)) & _STORES or p.share(_is_store) >= _NEARLY_ALL:
        return True
    if p.share(is_number) > 1 - _NEARLY_ALL or p.share(is_date) > 1 - _NEARLY_ALL:
        return False
    return p.share(_is_thing_temperature) >= _LEAST_PROPORTION


def _is_store(text: str) -> bool:
    return bool(set(tokens(text)) & _STORES)


def _is_thing_temperature(text: str) -> bool:
    return names_a_thing(text) and bool(set(tokens(text)) & _TEMPERATURE)


def _refused(came: str) -> InputRefused:
    return InputRefused(
        came,
        "Wanted are temperatures of people, taken on the body.",
        "Ask for the patients' temperatures, or say with --map which heading holds them.",
    )
