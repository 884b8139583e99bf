"""Examples of JSON in the reference, written from its schemas: every key, with an empty value of its type."""

import json
from pathlib import Path

import review_schema
from msgspec.json import schema_components

from browline.documents.audit import AuditPart
from browline.documents.coverage import CoverageDocument
from browline.documents.encoding import Plain, plain_of
from browline.documents.model import ModelPart

Schema = dict[str, Plain]
WIDTH = 140
EMPTY: dict[str, Plain] = {"string": "", "number": 0, "integer": 0, "boolean": True, "null": None}
SCHEMAS = Path(__file__).parents[1] / "docs" / "schema"


def review() -> str:
    """The review."""
    return _block("review", json.loads(review_schema.review_schema()))


def audit() -> str:
    """The audit's part of what is kept beside a review."""
    return _block("audit", _schema_of(AuditPart))


def model() -> str:
    """The joint model's part of it."""
    return _block("model", _schema_of(ModelPart))


def coverage() -> str:
    """Who can do it, as other programs read it."""
    schema = _schema_of(CoverageDocument)
    _fields(schema, CoverageDocument).pop("supplement")
    return _block("coverage", schema)


def recheck() -> str:
    """The answers of the desk."""
    return _block("recheck", json.loads((SCHEMAS / "recheck.json").read_text(encoding="utf-8")))


def _schema_of(kind: type) -> Schema:
    _, components = schema_components((kind,), ref_template="#/$defs/{name}")
    parts = {name: plain_of(part) for name, part in components.items()}
    return {"$ref": f"#/$defs/{kind.__name__}", "$defs": parts}


def _fields(schema: Schema, kind: type) -> Schema:
    parts = schema["$defs"]
    assert isinstance(parts, dict)
    whole = parts[kind.__name__]
    assert isinstance(whole, dict)
    fields = whole["properties"]
    assert isinstance(fields, dict)
    return fields


def _block(name: str, schema: Schema) -> str:
    return f"```json {name}\n{layout(example(schema, schema['$defs']))}\n```"


def example(schema: Plain, parts: Plain) -> Plain:
    """A value of this schema with every key that is always written; of several forms the first."""
    assert isinstance(schema, dict) and isinstance(parts, dict)
    if isinstance(place := schema.get("$ref"), str):
        return example(parts[place.removeprefix("#/$defs/")], parts)
    if isinstance(several := schema.get("anyOf"), list):
        return example(several[0], parts)
    if isinstance(fields := schema.get("properties"), dict):
        required = schema.get("required")
        return {key: example(part, parts) for key, part in fields.items() if _written(key, required, schema)}
    if "const" in schema:
        return schema["const"]
    return _leaf(schema, parts)


def _written(key: str, required: Plain, schema: Schema) -> bool:
    """A closed object lists what is always written; of another every field is."""
    return (
        schema.get("additionalProperties") is not False or not isinstance(required, list) or key in required
    )


def _leaf(schema: Schema, parts: Plain) -> Plain:
    if "items" in schema:
        inner = example(schema["items"], parts)
        return [inner] if isinstance(inner, dict) else []
    kind = schema.get("type", "string")
    first = kind[0] if isinstance(kind, list) else kind
    if first == "object":
        return {}
    default = schema.get("default")
    return default if isinstance(default, int | float | bool) else EMPTY[str(first)]


def layout(value: Plain, column: int = 0) -> str:
    """JSON in as few lines as fit, keys under keys.

    >>> layout({"a": [{"b": 0}]})
    '{"a": [{"b": 0}]}'
    """
    whole = json.dumps(value, ensure_ascii=False)
    if column + len(whole) <= WIDTH or not isinstance(value, dict | list):
        return whole
    if isinstance(value, list):
        return "[" + layout(value[0], column + 1) + "]"
    return "{" + _filled(value, column + 1) + "}"


def _filled(value: Schema, column: int) -> str:
    """The fields of an object: as many on a line as fit, one that needs several lines alone."""
    text, length, alone = "", column, True
    for key, part in value.items():
        head = f"{json.dumps(key)}: "
        piece = head + layout(part, column + len(head))
        broken = "\n" in piece
        if text and (broken or alone or length + len(piece) + 2 > WIDTH):
            text, length = f"{text},\n{' ' * column}", column
        elif text:
            text, length = f"{text}, ", length + 2
        text, length, alone = text + piece, length + len(piece), broken
    return text
