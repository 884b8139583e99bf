"""The first review of a fresh installation, and the next: a small hospital through the room's own gesture.

python benchmarks/variation.py --review      prints the seconds of importing the room and of its `solve`
"""

import json
import os
import subprocess
import sys
import tempfile
import time

import numpy as np

from .alone import SCRIPT
from .readings import FULL, SEED, Columns, Fleet, readings

SMALL, FLEET = 2000, Fleet(instruments=8, people=40, wards=4)
FIRST_HOUR = 24.0 * 365.25 * 56


def cold_and_warm() -> list[dict[str, float]]:
    """A process with no compiled kernels at all, then two more with those it left behind."""
    with tempfile.TemporaryDirectory() as cache:
        variables = {**os.environ, "NUMBA_CACHE_DIR": cache}
        return [in_a_process(variables) for _ in range(3)]


def in_a_process(variables: dict[str, str]) -> dict[str, float]:
    """Seconds of a whole process, and what it says of its parts."""
    start = time.perf_counter()
    command = [sys.executable, str(SCRIPT), "--review"]
    said = subprocess.run(command, stdout=subprocess.PIPE, check=True, env=variables).stdout
    parts: dict[str, float] = json.loads(said)
    return {"whole": time.perf_counter() - start} | parts


def review() -> dict[str, float]:
    """Import the room, solve a small review, and solve it again."""
    c = readings(SMALL, FLEET, FULL, np.random.default_rng(SEED))
    start = time.perf_counter()
    from browline.variation import Problem, solve

    imported = time.perf_counter()
    problem = Problem.from_readings(charted(c))
    times = [imported - start]
    for _ in range(2):
        begin = time.perf_counter()
        solve(problem)
        times.append(time.perf_counter() - begin)
    return dict(zip(("import", "solve", "again"), times, strict=True))


def charted(c: Columns):  # type: ignore[no-untyped-def]
    """The columns as the project's table of readings, values at 0.1 °C."""
    from browline.readings import Readings

    sites = ("temporal", "oral", "axillary", "rectal")
    counts = {"instrument": FLEET.instruments, "person": FLEET.people, "ward": FLEET.wards}
    counts["stay"] = counts["patient"] = int(c["stay"].max()) + 1
    codes = {name: c["stay" if name == "patient" else name].astype(np.int32) for name in counts}
    names = {name: tuple(f"{name} {k + 1}" for k in range(count)) for name, count in counts.items()}
    value = np.round(37.0 + c["value"], 1)
    time_ = FIRST_HOUR + c["hour"]
    return Readings(time_, time_ % 24, value, codes | {"site": c["site"]}, names | {"site": sites})
