"""Two bodies of one document beside each other: every line that was changed, added, left out or moved.

    changes(layout, old, new) -> (Changed, ...)        strange("Escalаte") -> "а (CYRILLIC SMALL LETTER A)"

It says what differs and judges nothing: whether a change is safe is for whoever reads it.
"""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from browline.controlled import Field, Layout
from browline.services.materials.body import Body, Row

CHANGED, ADDED, LEFT_OUT, MOVED = "changed", "added", "left out", "moved"
# Signs that print as nothing, or as what they are not; a space that does not break and a soft hyphen among them.
UNSEEN = ("Cc", "Cf", "Co", "Cn", "Zl", "Zp")


@dataclass(frozen=True)
class Changed:
    """One difference: in which line, what became of it, in which field, the old text beside the new one.

    `strange`: signs of the new text that cannot be seen or belong to another alphabet, in words; empty: none.
    """

    line: str
    what: str
    field: str
    was: str
    now: str
    strange: str = ""


def changes(layout: Layout, old: Body, new: Body) -> tuple[Changed, ...]:
    """Every difference, that of the whole first, then the lines of the new body in their order, then those left out."""
    return (*_fields("", layout.head, old.get("head", {}), new.get("head", {})), *_rows(layout, old, new))


def field_text(field: Field, value: object) -> str:
    """What a field holds, in words."""
    words = field.choices or {}
    if field.type == "many":
        return ", ".join(words.get(item, item) for item in (value if isinstance(value, list | tuple) else ()))
    if field.type == "choice":
        return "" if value is None else words.get(str(value), str(value))
    if field.type == "tick":
        return "yes" if value else ""
    return f"{value:g}" if field.type == "number" and isinstance(value, int | float) else str(value or "")


def strange(text: str) -> str:
    """Signs that cannot be seen, and letters of another alphabet, by name; empty where there are none.

    >>> strange("Do\\u200b not wait."), strange("Do not wait at 38.0 °C.")
    ('ZERO WIDTH SPACE', '')
    """
    signs = {sign for sign in text if sign not in "\n\r\t" and _unseen_or_not_latin(sign)}
    return ", ".join(_named(sign) for sign in sorted(signs))


def _unseen_or_not_latin(sign: str) -> bool:
    if unicodedata.category(sign) in UNSEEN:
        return True
    return sign.isalpha() and not unicodedata.name(sign, "").startswith(
        ("LATIN", "FEMININE", "MASCULINE", "MICRO")
    )


def _named(sign: str) -> str:
    name = unicodedata.name(sign, f"U+{ord(sign):04X}")
    return f"{sign} ({name})" if sign.isprintable() else name


def _rows(layout: Layout, old: Body, new: Body) -> Iterator[Changed]:
    before, after = _keyed(layout, old["rows"]), _keyed(layout, new["rows"])
    moved = _moved([key for key in before if key in after], [key for key in after if key in before])
    for place, (key, row) in enumerate(after.items(), start=1):
        if key not in before:
            yield _whole(layout, key, ADDED, now=row)
            continue
        if key in moved:
            yield Changed(
                line=key,
                what=MOVED,
                field="",
                was=f"place {list(before).index(key) + 1}",
                now=f"place {place}",
            )
        yield from _fields(key, layout.fields, before[key], row)
    yield from (_whole(layout, key, LEFT_OUT, was=row) for key, row in before.items() if key not in after)


def _keyed(layout: Layout, rows: Sequence[Row]) -> dict[str, Row]:
    """The rows by name: their id, else what their first field says; one that is there twice is told apart."""
    keyed: dict[str, Row] = {}
    for row in rows:
        name = key = str(row.get("id") or field_text(layout.fields[0], row.get(layout.fields[0].name)))
        again = 2
        while key in keyed:
            key, again = f"{name} ({again})", again + 1
        keyed[key] = row
    return keyed


def _moved(before: list[str], after: list[str]) -> set[str]:
    """Of lines that are in both, those that no longer stand in the order of the others."""
    blocks = SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
    return set(after) - {key for block in blocks for key in after[block.b : block.b + block.size]}


def _fields(line: str, fields: tuple[Field, ...], old: Row, new: Row) -> Iterator[Changed]:
    for field in fields:
        was, now = (field_text(field, row.get(field.name)) for row in (old, new))
        if was != now:
            yield Changed(line=line, what=CHANGED, field=field.label, was=was, now=now, strange=strange(now))


def _whole(layout: Layout, key: str, change: str, was: Row | None = None, now: Row | None = None) -> Changed:
    old, new = ("" if row is None else _all(layout.fields, row) for row in (was, now))
    return Changed(line=key, what=change, field="", was=old, now=new, strange=strange(new))


def _all(fields: tuple[Field, ...], row: Row) -> str:
    texts = ((field.label, field_text(field, row.get(field.name))) for field in fields)
    return "\n".join(f"{label}: {text}" for label, text in texts if text)
