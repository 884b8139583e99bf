"""Two JSON documents compared as a program that relies on the old one would: what is gone, new or other.

New fields are no difference, for contracts grow by them. Members of a list are matched by what names them, so that
a finding more is one difference. Sentences are kept as digests: their wording is the program's, and may be changed
only where an issue says so.
"""

import hashlib
import math
from collections.abc import Iterator
from typing import Any

FEWEST_WORDS = 4
CLOSE = {"rel_tol": 1e-4, "abs_tol": 1e-6}
# What names a member of a list; the first of these that all have, and that is different in each.
NAMES = (
    ("kind", "subject"), ("kind", "instrument", "ward"), ("ward", "shift", "role"), ("name", "ward", "shift"),
    ("case",), ("instrument",), ("test", "at"), ("type", "subject"), ("ward", "shift"), ("ward",), ("site",),
    ("person",), ("group",), ("measure",), ("month",), ("week",), ("key",), ("name",), ("code",), ("file", "kind"),
)  # fmt: skip
Difference = tuple[str, Any, Any]


def kept_as(value: Any) -> Any:
    """As it stands in the zip: sentences as digests, numbers to six digits."""
    if isinstance(value, dict):
        return {key: kept_as(part) for key, part in value.items()}
    if isinstance(value, list):
        return [kept_as(part) for part in value]
    if isinstance(value, str) and len(value.split()) >= FEWEST_WORDS:
        return f"sentence {hashlib.sha256(value.encode()).hexdigest()[:12]}"
    return float(f"{value:.6g}") if isinstance(value, float) and math.isfinite(value) else value


def differences(was: Any, now: Any, path: str = "") -> Iterator[Difference]:
    """Where `now` is not what it was: (path, then, now), None for what is not there."""
    if isinstance(was, dict) and isinstance(now, dict):
        for key, part in was.items():
            yield from differences(part, now.get(key), f"{path}.{key}".lstrip("."))
    elif isinstance(was, list) and isinstance(now, list):
        yield from _of_lists(was, now, path)
    elif not _same(was, now):
        yield path, was, now


def _of_lists(was: list[Any], now: list[Any], path: str) -> Iterator[Difference]:
    before, after = _members(was, now)
    for name in [*before, *(name for name in after if name not in before)]:
        yield from differences(before.get(name), after.get(name), f"{path}[{name}]")


def _members(was: list[Any], now: list[Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    for keys in NAMES:
        named = [_named(members, keys) for members in (was, now)]
        if all(one is not None for one in named):
            return named[0], named[1]  # type: ignore[return-value]
    return _numbered(was), _numbered(now)


def _numbered(members: list[Any]) -> dict[str, Any]:
    return {str(place): one for place, one in enumerate(members)}


def _named(members: list[Any], keys: tuple[str, ...]) -> dict[str, Any] | None:
    if not all(isinstance(one, dict) and all(key in one for key in keys) for one in members):
        return None
    named = {" ".join(_name(one[key]) for key in keys): one for one in members}
    return named if len(named) == len(members) else None


def _name(value: Any) -> str:
    return " ".join(map(str, value.values())) if isinstance(value, dict) else str(value)


def _same(was: Any, now: Any) -> bool:
    numbers = all(isinstance(one, int | float) and not isinstance(one, bool) for one in (was, now))
    return math.isclose(was, now, **CLOSE) if numbers else was == now
