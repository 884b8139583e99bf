"""Whose question: "how long until I know whether my charts were measured?" - the whole audit, and its core against
a general package.

The whole audit is timed on invented wards of 5,000 readings, each size in a process of its own, with readings per
second, peak memory and the time for ten times the readings (10 is linear).

The peer is statsmodels' GLMGam: what each number of a histogram is expected to hold if that number is left out,
as a penalised Poisson regression on the same B-spline basis, one fit for each number. Both maximise the same
criterion: the penalty is pinned to one value and nothing is taken for converted. The largest difference of the two
answers is printed, so that a fast wrong answer would show.

    python benchmarks/audit.py                           100,000 and 1,000,000 readings, and the peer
    python benchmarks/audit.py 100000 1000000 10000000   ten million too (about 3 GB)
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import json
import pickle
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from browline.audit import Problem, solve
from browline.audit.expected_density import Histograms, Smooth, fit_with_penalty, start
from browline.audit.spike import table_histograms
from browline.readings import Readings
from browline.synthetic.many_wards import many_wards

OF_A_WARD = 5000
PENALTY = 10.0
WARDS, OF_A_PEER_WARD, LEAST_COUNT, LEAST_OF_HISTOGRAM = 40, 600, 5, 200
TOLERANCE = 1e-7
"""Largest relative difference of the expectations that counts as the same answer."""


def readings(wards: int, each: int) -> Readings:
    """Invented wards charted in °C, in time order."""
    made = many_wards(np.random.default_rng(1), wards=wards, readings=each).readings
    return made.take(np.argsort(made.time, kind="stable"))


def whole(path: Path) -> dict[str, float]:
    """Seconds of one audit of the readings kept at `path`, peak memory in bytes, and before the audit."""
    with path.open("rb") as file:
        book = pickle.load(file)
    before = _peak()
    begin, worked = time.perf_counter(), time.process_time()
    solve(Problem(book))
    seconds, cpu = time.perf_counter() - begin, time.process_time() - worked
    return {"seconds": seconds, "cpu": cpu, "before": before, "peak": _peak()}


def make(path: Path, n: int) -> None:
    """Keep n invented readings at `path`."""
    with path.open("wb") as file:
        pickle.dump(readings(n // OF_A_WARD, OF_A_WARD), file, protocol=5)


def _peak() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024)


def apart(n: int) -> dict[str, float]:
    """The audit of n readings in a process of its own, and their invention in another: its memory is its own."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "readings.pickle"
        subprocess.run([sys.executable, __file__, str(n), "--make", str(path)], check=True)
        said = subprocess.run(
            [sys.executable, __file__, "--alone", str(path)], capture_output=True, text=True, check=True
        )
    return dict(json.loads(said.stdout))


def scale(sizes: list[int]) -> None:
    """Print the whole audit at each size and the growth between sizes."""
    last = None
    for n in sizes:
        got = apart(n)
        grew = f", {got['cpu'] / last:.1f} times the CPU time of the size before" if last else ""
        print(
            f"{n:>11,} readings {got['seconds']:8.2f} s, {got['cpu']:7.2f} CPU s, {n / got['cpu']:>9,.0f} a CPU second"
            f", peak memory {got['peak'] / 1e9:.2f} GB (readings alone {got['before'] / 1e9:.2f}){grew}"
        )
        last = got["cpu"]


Case = tuple[int, int]


def cases(asked: Histograms) -> list[Case]:
    """(histogram, number) for each candidate of enough readings; in thin histograms the peer does not settle."""
    thick = asked.counts.sum(axis=1, keepdims=True) >= LEAST_OF_HISTOGRAM
    return [(int(g), int(k)) for g, k in np.argwhere((asked.counts >= LEAST_COUNT) & thick)]


def ours(asked: Histograms, each: list[Case]) -> tuple[np.ndarray, float]:
    """The expectation of every case left out, all fitted together, and seconds."""
    begin = time.perf_counter()
    group, place = np.array(each).T
    excluded = np.zeros((len(each), asked.counts.shape[1]), bool)
    excluded[np.arange(len(each)), place] = True
    left = Histograms(asked.counts[group], asked.shape, asked.direct, asked.direct, excluded)
    found: Smooth = fit_with_penalty(left, PENALTY, start(left))[0]
    return found.expected[np.arange(len(each)), place], time.perf_counter() - begin


def theirs(asked: Histograms, each: list[Case]) -> tuple[np.ndarray, float]:
    """The same by statsmodels, one penalised Poisson regression for each case; NaN where it says it did not settle."""
    from statsmodels.gam.generalized_additive_model import GLMGam
    from statsmodels.gam.smooth_basis import GenericSmoothers, UnivariateGenericSmoother
    from statsmodels.genmod.families import Poisson

    begin = time.perf_counter()
    basis, out = asked.shape.basis, []
    # statsmodels takes alpha u'Su off the likelihood, we half of penalty u'Su.
    ridge = asked.shape.penalty + 1e-8 / PENALTY * np.eye(basis.shape[1])
    bins = np.arange(len(basis), dtype=float)
    for g, k in each:
        kept = bins != k
        smoother = UnivariateGenericSmoother(bins[kept], basis[kept], basis[kept], basis[kept], ridge)
        model = GLMGam(
            asked.counts[g, kept], smoother=GenericSmoothers(bins[kept, None], [smoother]), alpha=[PENALTY / 2],
            family=Poisson(),
        )  # fmt: skip
        fitted = model.fit(maxiter=200, tol=1e-10)
        out.append(float(np.exp(basis[k] @ np.asarray(fitted.params))) if fitted.converged else np.nan)
    return np.array(out), time.perf_counter() - begin


def compare() -> None:
    """Print both times on the same cases, their ratio, and how far the answers are apart."""
    book = readings(WARDS, OF_A_PEER_WARD)
    asked = table_histograms(Problem(book).tables[0])
    each = cases(asked)
    expected = ours(asked, each)[0]
    seconds = statistics.median(ours(asked, each)[1] for _ in range(5))
    peer, slow = theirs(asked, each)
    settled = np.isfinite(peer)
    apart = float(np.abs(expected / peer - 1)[settled].max())
    print(
        f"\n{len(book):,} readings, {len(asked.counts)} histograms, {len(each)} numbers left out one at a time, "
        f"penalty {PENALTY:g}\n"
        f"ours         {seconds:8.3f} s (median of five)\nstatsmodels  {slow:8.3f} s (GLMGam, Poisson)\n"
        f"ratio        {slow / seconds:8.1f} times as fast\n"
        f"settled      {int(settled.sum())} of statsmodels' {len(each)} fits; only these are compared\n"
        f"tolerance    expectations at most {apart:.1e} apart, relative; {TOLERANCE:.0e} allowed"
    )
    if apart > TOLERANCE or settled.mean() < 0.98:
        sys.exit("not the same answer")


def main() -> None:
    """Print the scale of the whole audit, then the comparison."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("readings", nargs="*", type=int, default=[100_000, 1_000_000])
    asked.add_argument("--make", type=Path, help="keep so many readings there")
    asked.add_argument("--alone", type=Path, help="audit the readings kept there, told as JSON")
    args = asked.parse_args()
    if args.make:
        return make(args.make, args.readings[0])
    if args.alone:
        return print(json.dumps(whole(args.alone)))
    scale(args.readings)
    compare()


if __name__ == "__main__":
    main()
