"""Documents as plain data and as JSON. A number that is not finite is refused and never written as null.

The library writes NaN and the infinities as null without a word; null means "the data cannot tell", so a fault of ours
would read as an honest answer.
"""

import json
import math

import msgspec

Number = int | float
"""A number as it was written: whole numbers stay whole, so that a document read and written again is the same bytes."""

Plain = bool | int | float | str | list["Plain"] | dict[str, "Plain"] | None


class NotFinite(ValueError):
    """A document holds a number that JSON has no word for."""

    def __init__(self, where: str, number: float) -> None:
        super().__init__(
            f"{where or 'The document'} is {number}. Wanted is a finite number, or null where the data cannot tell."
            " This is a fault of the program; nothing was written."
        )


def plain(document: msgspec.Struct) -> dict[str, Plain]:
    """The document as dicts, lists, texts and numbers, in the order of its fields; raises `NotFinite`."""
    whole: dict[str, object] = msgspec.to_builtins(document, enc_hook=_builtin)
    return {name: _finite(part, name) for name, part in whole.items()}


def plain_of(data: object) -> Plain:
    """Dicts, lists, texts and numbers that came from elsewhere, as the same; raises `NotFinite`."""
    return _finite(data, "")


def as_json(document: msgspec.Struct) -> str:
    """The document as JSON, indented, with a line's end; raises `NotFinite`."""
    return json_of(plain(document))


def json_of(data: Plain) -> str:
    """Plain data as JSON."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _builtin(value: object) -> float | str:
    """Numbers and texts of a numerical library as Python's own; they are kinds of them."""
    if isinstance(value, float):
        return float(value)
    if isinstance(value, str):
        return str(value)
    raise TypeError(f"A {type(value).__name__} came, which no document holds.")


def _finite(value: object, where: str) -> Plain:
    if isinstance(value, dict):
        return {str(name): _finite(part, f"{where}.{name}") for name, part in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(part, f"{where}[{place}]") for place, part in enumerate(value)]
    if isinstance(value, float) and not math.isfinite(value):
        raise NotFinite(where, value)
    if value is None or isinstance(value, bool | int | float | str):
        return value
    raise TypeError(f"{where} is {type(value).__name__}, which no document holds.")
