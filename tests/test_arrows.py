"""The floors: each stands only on the ones below it, rooms do not know each other, and no circle hides anywhere."""

import ast
import re

import measure
import pytest

SRC = measure.SRC / "browline"
GROUND = {
    "",
    "quantities",
    "columns",
    "controlled",
    "display",
    "documents",
    "errors",
    "findings",
    "lazy_door",
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
    "figures": GROUND,
    "paper": GROUND | ROOMS | {"store", "services", "figures"},
    "web": GROUND | ROOMS | {"store", "services", "figures", "paper"},
    "settings": GROUND | ROOMS | {"store", "services", "figures", "paper", "web"},
    "cli": GROUND | ROOMS | {"store", "services", "figures", "paper", "web", "settings"},
}
PURE_AVOID = {"pathlib", "os", "io", "duckdb", "django", "random", "socket", "subprocess", "tempfile", "time"}
# csvtext writes CSV into a string; it opens no file.
ALLOWED = {"synthetic/csvtext.py": {"io"}}
MODULE = re.compile(r"browline(?:\.[a-z_]+)+(?::\w+)?")


def _floor(module):
    return module.split(".")[1] if "." in module else ""


def _strings(tree):
    """Strings that name a module of ours, docstrings left out: they load it, and so are arrows too."""
    documented = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        text = getattr(node, "value", None) if isinstance(node, ast.Constant) else None
        if isinstance(text, str) and id(node) not in documented and MODULE.fullmatch(text):
            yield text.split(":")[0]


def _lazy(name, tree):
    """What a lazy door loads: the files of its own room that it names."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "lazy_door":
            homes = node.args[1]
            if isinstance(homes, ast.Name):
                homes = next(
                    n.value
                    for n in tree.body
                    if isinstance(n, ast.Assign) and getattr(n.targets[0], "id", "") == homes.id
                )
            yield from (f"{name}.{ast.literal_eval(value)}" for value in homes.values)


@pytest.fixture(scope="module")
def found():
    return measure.modules()


@pytest.fixture(scope="module")
def arrows(found):
    drawn = measure.arrows(found)
    for name, (_, tree) in found.items():
        # Commands and settings put the house together: their strings, and no others, may name any floor.
        strings = () if _floor(name) in ("cli", "settings") else _strings(tree)
        named = {text for text in strings if text in found} | set(_lazy(name, tree))
        drawn[name] = (drawn[name] | named) - {name}
    return drawn


def test_every_floor_is_known(found):
    assert {_floor(name) for name in found} <= set(BELOW)


def test_each_floor_stands_only_on_those_below(arrows):
    wrong = [
        f"{name} imports or names {target}"
        for name, targets in arrows.items()
        for target in targets
        if _floor(target) != _floor(name) and _floor(target) not in BELOW[_floor(name)]
    ]
    assert wrong == []


def test_nothing_goes_round_in_a_circle(found):
    assert measure.circles(measure.arrows(found)) == []


def test_doors_load_files_that_are_there_and_name_what_type_checkers_see(found):
    for name, (_, tree) in found.items():
        homes = set(_lazy(name, tree))
        assert homes <= set(found), name
        checked = {
            node.module
            for guard in tree.body
            if homes and isinstance(guard, ast.If)
            for node in guard.body
            if isinstance(node, ast.ImportFrom)
        }
        assert homes == checked or not homes, name


def test_imports_of_ours_stand_at_the_top(found):
    assert [name for name, (_, tree) in found.items() if measure.own_imports_inside(tree)] == []


def test_rooms_know_no_file_no_clock_and_no_other_room(found):
    wrong = [
        f"{path.relative_to(SRC)} imports {module}"
        for name, (path, tree) in found.items()
        if _floor(name) in ROOMS
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for module in (
            [node.module or ""] if isinstance(node, ast.ImportFrom) else [a.name for a in node.names]
        )
        if module.split(".")[0] in PURE_AVOID - ALLOWED.get(f"{_floor(name)}/{path.name}", set())
    ]
    assert wrong == []


def test_no_file_is_too_long(found):
    long = {name: n for name, (path, _) in found.items() if (n := len(path.read_text().splitlines())) > 300}
    assert [name for name in long if "migrations" not in name] == []


def test_a_planted_circle_import_or_string_is_seen():
    assert measure.circles({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}}) == [["a", "b", "c"]]
    assert measure.own_imports_inside(ast.parse("def f():\n    from browline.store import book")) == 1
    assert measure.own_imports_inside(ast.parse("from browline.store import book")) == 0
    assert list(_strings(ast.parse("'about browline.web'\nload('browline.web.urls')"))) == [
        "browline.web.urls"
    ]
    door = "__getattr__ = lazy_door(__name__, {'solve': 'kernel'})"
    assert list(_lazy("browline.room", ast.parse(door))) == ["browline.room.kernel"]
