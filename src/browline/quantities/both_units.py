"""Temperatures inside a text, written once in Celsius and shown in both units.

``{38.0}`` is a temperature, ``{d 0.5}`` a difference, ``{fever}`` the fever line of the hospital. So a number on a
card has one home, and an editor cannot give one unit and forget the other.
"""

import re

from browline.quantities.scales import fahrenheit, fahrenheit_difference

MARK = re.compile(r"\{(d )?(-?\d+(?:\.\d+)?)\}")
FEVER = "{fever}"


def both_units(text: str, first: str = "C", fever_c: float | None = None) -> str:
    """The text with every marked temperature in both units, `first` ("C" or "F") in front.

    >>> both_units("from {38.0}, {d -0.5} below")
    'from 38.0 °C (100.4 °F), −0.5 °C (−0.9 °F) below'
    >>> both_units("fever: {fever}", "F", fever_c=38.0)
    'fever: ≥ 100.4 °F (38.0 °C)'
    """
    if fever_c is not None:
        text = text.replace(FEVER, f"≥ {{{fever_c:.1f}}}")
    return MARK.sub(lambda match: _written(match[2], bool(match[1]), first), text)


def _written(number: str, difference: bool, first: str) -> str:
    decimals = len(number.partition(".")[2])
    value = float(number)
    fahrenheit_value = fahrenheit_difference(value) if difference else fahrenheit(value)
    texts = [f"{number} °C", f"{fahrenheit_value:.{max(1, decimals)}f} °F"]
    first_text, second_text = texts if first == "C" else reversed(texts)
    return f"{first_text} ({second_text})".replace("-", "−")
