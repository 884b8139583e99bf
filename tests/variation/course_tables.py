"""Reads the tables of the course: course_r.txt (tools/course_oracle.R), course_points.json (course_points.py)."""

import json
from pathlib import Path
from typing import Any

ORACLES = Path(__file__).parents[1] / "oracles"


def r_fits() -> dict[str, dict[str, float]]:
    """What R says at its optimum, by "set:reml" or "set:ml": criterion, sd:..., tau in hours, fixed:..., se:..."""
    fits: dict[str, dict[str, float]] = {}
    for line in (ORACLES / "course_r.txt").read_text().splitlines()[2:]:
        which, what, value = line.split("|")
        fits.setdefault(which, {})[what] = float(value)
    return fits


def points() -> list[dict[str, Any]]:
    """The known answers of the dense twin at chosen parameters; keys in tools/course_points.py."""
    made: list[dict[str, Any]] = json.loads((ORACLES / "course_points.json").read_text())
    return made
