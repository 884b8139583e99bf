"""The shape of a controlled document: what stands in it once, and what each of its rows holds.

A body is ``{"head": {field: value}, "rows": [{field: value}, ...]}`` of plain JSON. A layout names the fields, so
that one editor, one check and one history serve every document.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite, nan
from typing import Any, Literal

from browline.errors import NotUnderstood

Type = Literal["text", "long", "tick", "choice", "many", "number"]


@dataclass(frozen=True)
class Field:
    """One thing to fill in: its name, its label, its type, and whether it may be left empty.

    `choices` maps stored words to what is shown, for the types ``choice`` (one of them) and ``many`` (some).
    A ``number`` lies from `least` to `most`, both allowed; None: no such end. `whole`: without a fraction.
    """

    name: str
    label: str
    type: Type = "text"
    needed: bool = False
    choices: Mapping[str, str] | None = None
    help: str = ""
    least: float | None = None
    most: float | None = None
    whole: bool = False


@dataclass(frozen=True)
class Layout:
    """The fields of a document of this `kind`; `title` is its name on pages, `row` what a row is called."""

    kind: str
    title: str
    row: str
    fields: tuple[Field, ...]
    head: tuple[Field, ...] = ()


EMPTY: dict[Type, Any] = {"text": "", "long": "", "tick": False, "choice": "", "many": [], "number": None}


def checked(layout: Layout, body: Mapping[str, Any]) -> dict[str, Any]:
    """The body with every field of its layout, empty ones filled with the type's empty value.

    Raises `NotUnderstood` where a needed field is empty, a word is not among the choices, a field is unknown,
    a number is outside its ends or not whole, two rows have the same `id`, or there is no row.
    """
    rows = [_checked(layout.fields, row, f"{layout.row} {i + 1}") for i, row in enumerate(body["rows"])]
    if not rows:
        raise NotUnderstood(f"{layout.title} would be empty.", f"It needs a {layout.row}.", "Add one.")
    ids = [row["id"] for row in rows if row.get("id")]
    twice = sorted({i for i in ids if ids.count(i) > 1})
    if twice:
        raise NotUnderstood(
            f"{layout.title} has two rows called {twice[0]}.", "Each is named once.", "Rename one."
        )
    return {"head": _checked(layout.head, body.get("head", {}), layout.title), "rows": rows}


def _checked(fields: tuple[Field, ...], given: Mapping[str, Any], where: str) -> dict[str, Any]:
    unknown = set(given) - {field.name for field in fields}
    if unknown:
        raise NotUnderstood(
            f"{where} holds {sorted(unknown)[0]!r}.", "That is no field of it.", "Leave it out."
        )
    return {field.name: _value(field, given.get(field.name), where) for field in fields}


def _value(field: Field, value: Any, where: str) -> Any:
    if value is None or value == "" or value == []:
        if field.needed:
            raise NotUnderstood(f"{field.label} of {where} is empty.", "It has to be filled.", "Fill it in.")
        return list(EMPTY["many"]) if field.type == "many" else EMPTY[field.type]
    words = value if field.type == "many" else [value] if field.type == "choice" else []
    wrong = [word for word in words if word not in (field.choices or {})]
    if wrong:
        known = ", ".join(field.choices or {})
        raise NotUnderstood(
            f"{field.label} of {where} is {wrong[0]!r}.", f"Known are {known}.", "Choose one."
        )
    if field.type == "number":
        return _number(field, value, where)
    return bool(value) if field.type == "tick" else value


def _number(field: Field, value: Any, where: str) -> float:
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        number = nan
    too_small = field.least is not None and number < field.least
    too_large = field.most is not None and number > field.most
    if not isfinite(number) or too_small or too_large or (field.whole and not number.is_integer()):
        raise NotUnderstood(
            f"{field.label} of {where} is {value}.", f"It is {_ends(field)}.", "Write one of these."
        )
    return number


def _ends(field: Field) -> str:
    ends = [f"{word} {end:g}" for word, end in (("from", field.least), ("to", field.most)) if end is not None]
    return " ".join(["a whole number" if field.whole else "a number", *ends])
