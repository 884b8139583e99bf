"""Degrees Celsius or Fahrenheit, as said in words: in a cell, in a heading, in a long format's category.

"C" and "F" alone are farad and coulomb in UCUM; FHIR units are therefore read in `fhir`, not here.
"""

import re

from browline.intake.non_numeric_words import plain, word_set

_CELSIUS = frozenset({"c", "celsius", "celcius", "cel", "degc", "centigrade", "tempc", "temperaturec"})
_FAHRENHEIT = frozenset(
    {"f", "fahrenheit", "farenheit", "fahrenheight", "degf", "fahr", "tempf", "temperaturef"}
)
_ABOUT = word_set("deg degs degree degrees temp temperature t unit units in vital body °")
_OTHER = frozenset({"k", "kelvin", "degk", "rankine"})


def tokens(text: str) -> list[str]:
    """The words of a heading or cell: camel case and underscores split, brackets dropped, small letters.

    >>> tokens("vital_name"), tokens("recordedDttm"), tokens("Temp (°F)")
    (['vital', 'name'], ['recorded', 'dttm'], ['temp', 'f'])
    """
    split = re.sub(r"(?<=[a-z0-9])(?=[A-Z])", " ", text)
    return re.findall(r"[^\W\d_]+|\d+", plain(split))


def read_unit(text: str) -> str | None:
    """The unit a text names: "C", "F", or None where it names none or both.

    >>> read_unit("Temperature Fahrenheit"), read_unit("[degF]"), read_unit("temp_c"), read_unit("5 West")
    ('F', 'F', 'C', None)
    """
    words = set(tokens(text))
    celsius, fahrenheit = bool(words & _CELSIUS), bool(words & _FAHRENHEIT)
    if celsius == fahrenheit:
        return None
    return "C" if celsius else "F"


def only_unit(text: str) -> str | None:
    """The unit of a text that says nothing else, so that "Ward C" is not taken for degrees.

    >>> only_unit("deg F"), only_unit("Ward C")
    ('F', None)
    """
    words = set(tokens(text))
    return read_unit(text) if words <= _CELSIUS | _FAHRENHEIT | _ABOUT else None


def is_unaccepted_unit(text: str) -> bool:
    """Whether a text names a temperature scale that is not taken (kelvin).

    >>> is_unaccepted_unit("K"), is_unaccepted_unit("°C")
    (True, False)
    """
    return bool(set(tokens(text)) & _OTHER)
