"""Whose question: "does the answer come while I am still typing?" and how many logged cases are judged in a minute.

The whole answer, with what to do next, is timed for 2, 6 and 20 readings: the middle and the 95th of 100 of many runs.

The peer is a bootstrap particle filter of the same model (tests/course/particles.py, vectorised in NumPy, the usual
way when nothing is summed in closed form). Its error of the chance of a fever, against the sum over every
configuration (tests/course/enumeration.py) of nine small problems, falls with the root of the number of particles:
measured at two numbers, and taken from there to the number that is as near as a beam of ours. Both on one core.

    python benchmarks/questioned.py
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "course"))

from enumeration import enumerated
from made_problems import PROBLEMS
from particles import filtered

from browline.questioned import Problem, Reading, solve

RUNS, DRAWS, NUMBERS = 60, 8, (5_000, 20_000)
BEAMS = (300, 1000)


def asked(readings: int, shift: float) -> Problem:
    """A forehead read over and over with two instruments, a mouth and a rectum among them."""
    sites = ("temporal", "temporal", "oral", "temporal", "rectal")
    made = [
        Reading(
            37.2 + shift + 0.3 * (k % 4),
            sites[k % 5],
            4.0 * (readings - k),
            "AB"[k % 2] if k % 5 != 4 else "",
        )
        for k in range(readings)
    ]
    return Problem(tuple(made), {"worsening": "yes", "heat": "no"})


def latency() -> None:
    """Print how long a whole answer takes."""
    print("| readings | p50 | p95 |\n|---|---|---|")
    for readings in (2, 6, 20):
        solve(asked(readings, 0.0))
        taken = []
        for run in range(RUNS):
            began = time.perf_counter()
            solve(asked(readings, 0.01 * run))
            taken.append(1e3 * (time.perf_counter() - began))
        print(
            f"| {readings} | {np.quantile(taken, 0.5):.0f} ms | {np.quantile(taken, 0.95):.0f} ms |",
            flush=True,
        )


def error_of_particles(number: int, exact: dict[str, float]) -> float:
    """Root mean square error of the chance of a fever with so many particles."""
    rngs = iter(np.random.default_rng(7).spawn(DRAWS * len(PROBLEMS)))
    off = [
        filtered(p, number, next(rngs)).fever - exact[name]
        for name, p in PROBLEMS.items()
        for _ in range(DRAWS)
    ]
    return float(np.sqrt(np.mean(np.square(off))))


def per_second(answer, times: int) -> float:
    """Cases answered in a second, over all the small problems."""
    began = time.perf_counter()
    for _ in range(times):
        for problem in PROBLEMS.values():
            answer(problem)
    return times * len(PROBLEMS) / (time.perf_counter() - began)


def replays() -> None:
    """Print cases per second against the particle filter of equal accuracy."""
    exact = {name: 1.0 - enumerated(p).now.under(p.fever_c) for name, p in PROBLEMS.items()}
    errors, speeds = {}, {}
    for beam in BEAMS:
        told = {name: solve(p, steps=False, beam=beam).now.fever for name, p in PROBLEMS.items()}
        errors[beam] = float(np.sqrt(np.mean([(told[name] - exact[name]) ** 2 for name in PROBLEMS])))
        speeds[beam] = per_second(lambda p, beam=beam: solve(p, steps=False, beam=beam), 5)
        print(
            f"\nbeam {beam}: error of the chance of a fever {errors[beam]:.4f}, {speeds[beam]:.1f} cases per second"
        )
    theirs = {number: error_of_particles(number, exact) for number in NUMBERS}
    most = max(NUMBERS)
    peer = per_second(lambda p: filtered(p, most, np.random.default_rng(1)), 1)
    for number, error in theirs.items():
        print(f"{number:,} particles: error {error:.4f}")
    print(f"{most:,} particles: {peer:.2f} cases per second")
    for beam, error in errors.items():
        times = (theirs[most] / error) ** 2
        print(
            f"as near as beam {beam}: {times * most:,.0f} particles, ratio {speeds[beam] * times / peer:.0f}"
        )


if __name__ == "__main__":
    latency()
    replays()
