"""The floors: each stands only on the ones below it, and rooms do not know each other."""

import ast
from pathlib import Path

SRC = Path(__file__).parents[1] / "src" / "browline"
GROUND = {
    "",
    "quantities",
    "columns",
    "controlled",
    "display",
    "errors",
    "findings",
    "readings",
    "roles",
    "shifts",
    "weeks",
}
ROOMS = {
    "intake",
    "audit",
    "variation",
    "synthetic",
    "competency",
    "visit_plan",
    "instruments",
    "site_choice",
    "materials",
    "questioned",
}
BELOW = {
    **dict.fromkeys(GROUND, GROUND),
    **dict.fromkeys(ROOMS, GROUND),
    "store": GROUND | ROOMS,
    "services": GROUND | ROOMS | {"store"},
    "figures": GROUND | {"services"},
    "paper": GROUND | ROOMS | {"store", "services", "figures"},
    "web": GROUND | ROOMS | {"store", "services", "figures", "paper"},
    "settings": {""},
    "cli": GROUND | ROOMS | {"store", "services", "figures", "paper", "web"},
}
PURE_AVOID = {"pathlib", "os", "io", "duckdb", "django", "random", "socket", "subprocess", "tempfile", "time"}


def _floor(path):
    part = path.relative_to(SRC).parts[0].removesuffix(".py")
    return "" if part == "__init__" else part


def _imports(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = (
                ".".join(path.relative_to(SRC.parent).with_suffix("").parts[: -node.level])
                if node.level
                else ""
            )
            yield f"{base}.{node.module or ''}".strip(".") if base else (node.module or "")


def _ours(name):
    return name.split(".")[1] if name.startswith("browline.") else "" if name == "browline" else None


def test_every_floor_is_known():
    assert {_floor(p) for p in SRC.rglob("*.py")} <= set(BELOW)


def test_each_floor_stands_only_on_those_below():
    wrong = [
        f"{path.relative_to(SRC)} imports {name}"
        for path in SRC.rglob("*.py")
        for name in _imports(path)
        if (part := _ours(name)) is not None and part != _floor(path) and part not in BELOW[_floor(path)]
    ]
    assert wrong == []


def test_rooms_know_no_file_no_clock_and_no_other_room():
    wrong = [
        f"{path.relative_to(SRC)} imports {name}"
        for room in ROOMS
        for path in (SRC / room).rglob("*.py")
        for name in _imports(path)
        if name.split(".")[0] in PURE_AVOID - ALLOWED.get(f"{room}/{path.name}", set())
    ]
    assert wrong == []


# csvtext writes CSV into a string; it opens no file.
ALLOWED = {"synthetic/csvtext.py": {"io"}}


def test_no_file_is_too_long():
    long = [
        f"{p.relative_to(SRC)}: {n}"
        for p in SRC.rglob("*.py")
        if (n := len(p.read_text().splitlines())) > 300
    ]
    assert [name for name in long if "migrations" not in name] == []
