"""Measure the house: python tools/measure.py [--start-up] prints a table of the code as it stands in src/.

Own imports inside functions, circles of imports, `Any` written out, sizes of files and functions, docstrings that
name a unit, runs of lines written twice, names that say nothing; with --start-up the seconds until commands answer.
"""

import argparse
import ast
import hashlib
import re
import statistics
import subprocess
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

SRC = Path(__file__).parents[1] / "src"
FILLERS = frozenset(
    {
        "told",
        "said",
        "held",
        "kept",
        "made",
        "found",
        "seen",
        "shown",
        "looked",
        "asked",
        "left",
        "own",
        "here",
    }
    | {"at", "of", "settled", "standing", "what", "one", "other", "rest"}
)
UNIT = re.compile(
    r"°C|°F|\bdegrees?\b|\bhours?\b|\bminutes?\b|\bseconds?\b|\bdays?\b|\bshare\b|\bin \[0, 1\]|\bshape\b"
)
RUN = 6


@cache
def modules() -> dict[str, tuple[Path, ast.Module]]:
    """Every module of src by its dotted name."""
    found = {}
    for path in sorted(SRC.rglob("*.py")):
        name = ".".join(path.relative_to(SRC).with_suffix("").parts).removesuffix(".__init__")
        found[name] = (path, ast.parse(path.read_text(encoding="utf-8")))
    return found


def imported(name: str, path: Path, node: ast.Import | ast.ImportFrom, known: set[str]) -> Iterator[str]:
    """The modules of ours that one import statement runs."""
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names if alias.name in known)
        return
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    for _ in range(node.level - 1):
        package = package.rpartition(".")[0]
    base = node.module or "" if not node.level else f"{package}.{node.module}" if node.module else package
    for alias in node.names:
        full = f"{base}.{alias.name}"
        yield full if full in known else base


def arrows(found: dict[str, tuple[Path, ast.Module]], deferred: bool = True) -> dict[str, set[str]]:
    """Which module imports which of ours; `deferred`: also inside functions."""
    known, drawn = set(found), {}
    for name, (path, tree) in found.items():
        nodes = ast.walk(tree) if deferred else _at_the_top(tree.body)
        targets = {
            target
            for node in nodes
            if isinstance(node, ast.Import | ast.ImportFrom)
            for target in imported(name, path, node, known)
        }
        drawn[name] = {t for t in targets if t in known and t != name}
    return drawn


def _at_the_top(body: list[ast.stmt]) -> Iterator[ast.AST]:
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            continue
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            yield from _at_the_top(node.orelse)
            continue
        yield node
        yield from _at_the_top(getattr(node, "body", []))


def circles(drawn: dict[str, set[str]]) -> list[list[str]]:
    """Sets of modules that import each other round in a circle (strongly connected, Tarjan 1972)."""
    number: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    found: list[list[str]] = []

    def visit(name: str) -> None:
        number[name] = low[name] = len(number)
        stack.append(name)
        for target in drawn[name]:
            if target not in number:
                visit(target)
                low[name] = min(low[name], low[target])
            elif target in stack:
                low[name] = min(low[name], number[target])
        if low[name] == number[name]:
            part = [stack.pop()]
            while part[-1] != name:
                part.append(stack.pop())
            if len(part) > 1:
                found.append(sorted(part))

    sys.setrecursionlimit(10_000)
    for name in drawn:
        if name not in number:
            visit(name)
    return found


def own_imports_inside(tree: ast.Module) -> int:
    """Imports of ours inside functions."""
    inside = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
        if (isinstance(node, ast.ImportFrom) and (node.level or (node.module or "").startswith("browline")))
        or (isinstance(node, ast.Import) and node.names[0].name.startswith("browline"))
    }
    return len(inside)


def explicit_any(tree: ast.Module) -> int:
    """How often `Any` is written."""
    return sum(isinstance(node, ast.Name) and node.id == "Any" for node in ast.walk(tree))


def functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function and method."""
    return (n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef))


def fillers(tree: ast.Module) -> Counter[str]:
    """Bound names that are a participle or a filler: arguments, locals, functions, classes, fields."""
    found: Counter[str] = Counter()
    for node in ast.walk(tree):
        if isinstance(node, ast.arg):
            found[node.arg] += 1
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            found[node.id] += 1
        elif isinstance(node, ast.FunctionDef | ast.ClassDef):
            found[node.name] += 1
    return Counter({name: n for name, n in found.items() if name.strip("_") in FILLERS})


def twice(found: dict[str, tuple[Path, ast.Module]]) -> int:
    """Runs of six lines (blank lines and comments left out) that stand in more than one file."""
    places: dict[str, set[str]] = defaultdict(set)
    for name, (path, _) in found.items():
        lines = [line.strip() for line in path.read_text(encoding="utf-8").splitlines()]
        lines = [line for line in lines if len(line) > 3 and not line.startswith(("#", "import ", "from "))]
        for start in range(len(lines) - RUN + 1):
            places[hashlib.sha1("\n".join(lines[start : start + RUN]).encode()).hexdigest()].add(name)
    return sum(len(where) > 1 for where in places.values())


def seconds(words: list[str]) -> float:
    """The median of five starts of a command, seconds."""
    taken = []
    for _ in range(5):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-m", "browline.cli.main", *words], capture_output=True, check=False)
        taken.append(time.perf_counter() - began)
    return statistics.median(taken)


def _percent(pattern: re.Pattern[str], texts: list[str]) -> int:
    return round(100 * sum(bool(pattern.search(text)) for text in texts) / len(texts))


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--start-up", action="store_true")
    asked = options.parse_args()
    found = modules()
    trees = [tree for _, tree in found.values()]
    lengths = sorted((n.end_lineno or 0) - n.lineno + 1 for tree in trees for n in functions(tree))
    sizes = sorted(len(path.read_text(encoding="utf-8").splitlines()) for path, _ in found.values())
    documented = [text for tree in trees for n in functions(tree) if (text := ast.get_docstring(n))]
    rows = {
        "own imports inside functions": sum(map(own_imports_inside, trees)),
        "circles at the top": len(circles(arrows(found, deferred=False))),
        "circles, deferred imports counted": len(circles(arrows(found))),
        "`Any` written": sum(map(explicit_any, trees)),
        "files": len(found),
        "lines of the median and longest file": f"{int(statistics.median(sizes))}, {sizes[-1]}",
        "functions": len(lengths),
        "lines of the median function": int(statistics.median(lengths)),
        "one function in a hundred has more lines than": lengths[-len(lengths) // 100],
        "docstrings of functions that name a unit or shape, %": _percent(UNIT, documented),
        "runs of six lines in two files": twice(found),
        "names that say nothing": sum(sum(fillers(tree).values()) for tree in trees),
    }
    if asked.start_up:
        rows |= {
            f"seconds of `browline {' '.join(w)}`": f"{seconds(w):.2f}" for w in (["--version"], ["--help"])
        }
    for name, value in rows.items():
        print(f"| {name} | {value} |")


if __name__ == "__main__":
    main()
