"""Elements of a FHIR resource, whatever was sent: a wrong type reads as missing, so that nothing raises."""

from typing import Any

Json = dict[str, Any]


def codings(concept: Any) -> list[tuple[str, str, str]]:
    """(system, code, display) of each coding of a CodeableConcept."""
    return [
        (text_in(c.get("system")), text_in(c.get("code")), text_in(c.get("display")))
        for c in tables_in(table_in(concept).get("coding"))
    ]


def table_in(thing: Any) -> Json:
    return thing if isinstance(thing, dict) else {}


def tables_in(thing: Any) -> list[Json]:
    return [item for item in thing if isinstance(item, dict)] if isinstance(thing, list) else []


def text_in(thing: Any) -> str:
    return thing.strip() if isinstance(thing, str) else ""


def number_in(thing: Any) -> str:
    right = isinstance(thing, int | float | str) and not isinstance(thing, bool)
    return str(thing).strip() if right else ""
