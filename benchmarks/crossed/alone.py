"""One size measured in a process of its own: seconds, peak memory, and one pass over the data as the floor.

python benchmarks/variation.py --alone ordinary|full FOLDER      prints one line of JSON
"""

import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from . import readings

SCRIPT = Path(__file__).parents[1] / "variation.py"
WARM = 2000


def written(kind: str, n: int, folder: Path) -> Path:
    """A folder with n readings of a kind, made by a process of its own so that its memory counts for nothing."""
    place = folder / f"{kind}-{n}"
    if not place.exists():
        place.mkdir()
        subprocess.run([sys.executable, str(SCRIPT), "--write", kind, str(n), str(place)], check=True)
    return place


def measured(kind: str, place: Path) -> dict[str, Any]:
    """What `alone` says in a fresh process, numba's cache warm."""
    command = [sys.executable, str(SCRIPT), "--alone", kind, str(place)]
    said: dict[str, Any] = json.loads(subprocess.run(command, stdout=subprocess.PIPE, check=True).stdout)
    return said


def alone(kind: str, place: Path) -> dict[str, Any]:
    """Fit the folder's columns; kernels are loaded by a small fit beforehand."""
    from .ours import MODELS

    fit = MODELS[kind]
    fit(getattr(readings, kind)(WARM))
    c = readings.kept(place)
    floor, before = one_pass(c), peak_mb()
    start, worked = time.perf_counter(), time.process_time()
    got = fit(c)
    seconds, cpu = time.perf_counter() - start, time.process_time() - worked
    size = sum(column.nbytes for column in c.values()) / 1e6
    return {
        "n": len(c["value"]), "seconds": seconds, "cpu": cpu, "floor": floor, "columns_mb": size,
        "before_mb": before, "peak_mb": peak_mb(), **vars(got),
    }  # fmt: skip


def one_pass(c: Mapping[str, NDArray[np.generic]]) -> float:
    """Seconds in which NumPy reads every column once (their sums), the best of three."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        for column in c.values():
            column.sum()
        times.append(time.perf_counter() - start)
    return min(times)


def peak_mb() -> float:
    """The most memory this process has held so far, MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


def write(kind: str, n: int, place: Path) -> None:
    """Make the readings and keep them."""
    readings.keep(getattr(readings, kind)(n), place)


def folder() -> "tempfile.TemporaryDirectory[str]":
    """Where the columns of one run are kept."""
    return tempfile.TemporaryDirectory(prefix="variation-benchmark-")
