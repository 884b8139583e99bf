"""The JSON schema of the review, written from its types: every field that is written, and no other.

python tools/review_schema.py        writes docs/schema/review.json
"""

from pathlib import Path

from msgspec.json import schema_components

from browline.documents.encoding import Plain, json_of, plain_of
from browline.documents.review import FORMAT, ReviewDocument

Schema = dict[str, Plain]
# Written only where results by person were asked for.
UNASKED = {"ReviewDocument": ("people", "people_not_listed")}
TARGET = Path(__file__).parents[1] / "docs" / "schema" / "review.json"
# This version fills these always; an earlier one may not have, so that their type allows null.
FILLED = {
    "ReviewDocument": ("spread", "training", "people"),
    "InstrumentRow": ("comparator", "confounded_with", "data_share"),
    "PersonRow": ("comparator", "confounded_with", "data_share"),
    "WardRow": ("comparator", "confounded_with", "data_share"),
    "FindingRow": ("unit",),
}


def review_schema() -> str:
    """The schema of browline-review/1 as JSON, draft 2020-12."""
    _, components = schema_components((ReviewDocument,), ref_template="#/$defs/{name}")
    found = {name: _closed(name, plain_of(part)) for name, part in components.items()}
    whole = found.pop("ReviewDocument")
    named = _named_in(whole, found)
    parts: Plain = {name: found[name] for name in found if name in named}
    head: Schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": FORMAT}
    return json_of({**head, **{key: part for key, part in whole.items() if key != "title"}, "$defs": parts})


def _closed(name: str, part: Plain) -> Schema:
    """A row with all the fields it is written with, no other allowed."""
    row = _object(part)
    fields = _object(row["properties"])
    fields.pop("supplement", None)
    tidy: Schema = {key: _tidy(field, key in FILLED.get(name, ())) for key, field in fields.items()}
    required: Plain = [key for key in tidy if key not in UNASKED.get(name, ())]
    return {**row, "additionalProperties": False, "properties": tidy, "required": required}


def _tidy(field: Plain, filled: bool) -> Plain:
    """A field without its default; whole and other numbers are one type; null only where it may be written."""
    rule = {key: part for key, part in _object(field).items() if key != "default"}
    choices = rule.pop("anyOf", None)
    if isinstance(choices, list):
        kept = [_tidy(choice, False) for choice in choices if not (filled and choice == {"type": "null"})]
        kept = [choice for choice in kept if choice != {"type": "integer"} or {"type": "number"} not in kept]
        return {**rule, **_object(kept[0])} if len(kept) == 1 else {**rule, "anyOf": kept}
    if "items" in rule:
        rule["items"] = _tidy(rule["items"], False)
    return rule


def _named_in(part: Plain, found: dict[str, Schema]) -> set[str]:
    """The rows that a part names, and those that they name."""
    if isinstance(part, list):
        return {name for one in part for name in _named_in(one, found)}
    if not isinstance(part, dict):
        return set()
    here = part.get("$ref")
    named = {here.removeprefix("#/$defs/")} if isinstance(here, str) else set()
    inner = [*part.values(), *(found[name] for name in named)]
    return named | {name for one in inner for name in _named_in(one, found)}


def _object(part: Plain) -> Schema:
    if not isinstance(part, dict):
        raise TypeError(f"A schema is an object; {type(part).__name__} came.")
    return part


if __name__ == "__main__":
    TARGET.write_text(review_schema(), encoding="utf-8")
