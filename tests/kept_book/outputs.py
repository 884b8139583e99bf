"""What the kept book's commands write as JSON, by this version, and how it differs from what was kept."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from changes import CHANGES
from compared import Difference, differences, kept_as

from browline.cli.main import main


def commands(kept: Any) -> dict[str, list[str]]:
    """Each output and the command that writes it."""
    return {
        "coverage": ["coverage", "--at", kept.facts["coverage_at"]],
        "instruments": ["instruments"],
        "plan": ["plan", "--from", kept.facts["plan_from"], "--weeks", "2", "--hours-a-week", "3"],
        "recheck": ["recheck", str(kept.folder / "questions.json")],
        "review": ["review", "--people"],
    }


def written(kept: Any, name: str, folder: Path) -> Any:
    """What a command writes; a command that refuses one case of several still writes the others."""
    target = folder / f"{name}.json"
    status = main([*commands(kept)[name], "--book", str(kept.book.folder), "--json", str(target)])
    assert status == (3 if name == "recheck" else 0)
    return json.loads(target.read_text(encoding="utf-8"))


def supplement() -> dict[str, Any]:
    """What stands beside the last review, of the parts that the reference describes."""
    from browline.store.models import Review

    last = Review.objects.order_by("-pk")[0].supplement
    return {part: last[part] for part in ("audit", "model")}


def unexplained(name: str, was: Any, now: Any) -> list[Difference]:
    """The differences from what was kept for which no issue gives a reason."""
    return [found for found in differences(was, kept_as(now)) if not list(_reasons(name, found[0]))]


def unused(name: str, was: Any, now: Any) -> list[str]:
    """Rows of the table that explain nothing."""
    paths = [found[0] for found in differences(was, kept_as(now))]
    rows = [row for row in CHANGES if row[0] == name]
    return [row[1] for row in rows if not any(_matches(row[1], path) for path in paths)]


def _reasons(name: str, path: str) -> Iterator[str]:
    return (why for output, pattern, why in CHANGES if output == name and _matches(pattern, path))


def _matches(pattern: str, path: str) -> bool:
    return re.fullmatch(".*".join(map(re.escape, pattern.split("*"))), path) is not None
