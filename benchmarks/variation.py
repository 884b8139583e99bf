"""How long does the fit take, against a general mixed-model package on the same readings in the same run?

Asked by whoever wonders why the crossed model is written out here. The peer is R's lme4 where R is present,
else statsmodels on a smaller set (it holds dense matrices). Both fit the same REML criterion; the difference
of the two criteria is printed, so that a fast wrong answer would show.

    python benchmarks/variation.py            100,000 readings
    python benchmarks/variation.py 1000000    only ours where the peer would take minutes: add --peer to run it
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import csv
import shutil
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np

from browline.variation.design import Design, design
from browline.variation.fit import Fit, fit

INSTRUMENTS, PEOPLE, WARDS = 200, 1500, 30
TOOL = Path(__file__).parents[1] / "tools" / "lme4_timing.R"
Columns = dict[str, np.ndarray]


def readings(n: int, people: int = PEOPLE, seed: int = 1) -> Columns:
    """n readings in n / 5 stays; instruments and people mostly keep to their ward."""
    rng = np.random.default_rng(seed)
    stays = n // 5
    stay = rng.integers(0, stays, n)
    episode = stay * 4 + rng.integers(0, 4, n)
    ward = rng.integers(0, WARDS, stays)[stay]
    away = rng.random(n) < 0.1
    place = np.where(away, rng.integers(0, WARDS, n), ward)
    instrument = place * (INSTRUMENTS // WARDS) + rng.integers(0, INSTRUMENTS // WARDS, n)
    person = place * (people // WARDS) + rng.integers(0, people // WARDS, n)
    site, angle = rng.choice(4, n, p=[0.6, 0.2, 0.1, 0.1]), rng.uniform(0, 2 * np.pi, n)
    value = (
        np.array([0.0, 0.2, -0.3, 0.4])[site] + 0.25 * np.cos(angle) + rng.normal(0, 0.45, stays)[stay]
        + rng.normal(0, 0.2, stays * 4)[episode] + rng.normal(0, 0.12, INSTRUMENTS)[instrument]
        + rng.normal(0, 0.08, people)[person] + rng.normal(0, 0.06, WARDS)[ward] + rng.normal(0, 0.25, n)
    )  # fmt: skip
    waves = {"c1": np.cos(angle), "s1": np.sin(angle), "c2": np.cos(2 * angle), "s2": np.sin(2 * angle)}
    codes = {"stay": stay, "episode": episode, "instrument": instrument, "person": person, "ward": ward}
    return {"value": value, "site": site, **waves, **codes}


def designed(c: Columns) -> Design:
    """The columns as the crossed model."""
    sites = c["site"][:, None] == np.arange(1, 4)
    x = np.column_stack([np.ones(len(sites)), sites, c["c1"], c["s1"], c["c2"], c["s2"]])
    crossed = {name: c[name] for name in ("instrument", "person", "ward")}
    return design(c["value"], x, crossed, {name: c[name] for name in ("stay", "episode")})


def timed(c: Columns) -> tuple[Fit, float]:
    """Our fit from plain columns, and its seconds."""
    start = time.perf_counter()
    got = fit(designed(c))
    return got, time.perf_counter() - start


def lme4(c: Columns) -> dict[str, float]:
    """Seconds, criterion and sds by R's lme4."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "readings.csv"
        with path.open("w", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(c)
            writer.writerows(zip(*(column.tolist() for column in c.values()), strict=True))
        said = subprocess.run(["Rscript", str(TOOL), str(path)], capture_output=True, text=True, check=True)
    return {" ".join(w[:-1]): float(w[-1]) for w in (line.split() for line in said.stdout.splitlines()) if w}


def statsmodels_seconds(c: Columns) -> tuple[float, float]:
    """Seconds and criterion by statsmodels with every factor a variance component of one group."""
    import pandas
    from statsmodels.formula.api import mixedlm

    table = pandas.DataFrame(dict(c))
    names = ("stay", "episode", "instrument", "person", "ward")
    parts = {name: f"0 + C({name})" for name in names}
    start = time.perf_counter()
    formula = "value ~ C(site) + c1 + s1 + c2 + s2"
    theirs = mixedlm(formula, table, groups=np.ones(len(table)), vc_formula=parts, use_sparse=True).fit(
        reml=True
    )
    return time.perf_counter() - start, -2 * float(theirs.llf)


def main() -> None:
    """Print both times and their ratio."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("readings", nargs="?", type=int, default=100_000)
    asked.add_argument("--peer", action="store_true", help="run the peer also above 200,000 readings")
    args = asked.parse_args()
    c = readings(args.readings)
    got, seconds = timed(c)
    effects = {name: len(np.unique(c[name])) for name in ("stay", "episode", "instrument", "person", "ward")}
    print(
        f"{args.readings:,} readings; effects: " + ", ".join(f"{n:,} {name}s" for name, n in effects.items())
    )
    print(f"ours         {seconds:8.2f} s  criterion {got.criterion:.4f}  {got.outcome}, {got.passes} passes")
    if args.readings > 200_000 and not args.peer:
        return
    if shutil.which("Rscript"):
        compare_with_lme4(got, seconds, lme4(c))
    else:
        compare_with_statsmodels()


def compare_with_lme4(got: Fit, seconds: float, peer: dict[str, float]) -> None:
    """Ratio, and how far the two answers are apart."""
    apart = max(abs(got.sd(name) / peer[f"sd {name}"] - 1) for name in got.names)
    print(f"lme4         {peer['seconds']:8.2f} s  criterion {peer['criterion']:.4f}")
    print(f"ratio        {peer['seconds'] / seconds:8.1f} times as fast as lme4")
    print(
        f"tolerance    criterion ours - lme4 = {got.criterion - peer['criterion']:+.2e}; sds apart {apart:.1e}"
    )


def compare_with_statsmodels() -> None:
    """On 400 readings, since statsmodels is dense in the effects."""
    c = readings(400, people=60)
    got, seconds = timed(c)
    theirs, criterion = statsmodels_seconds(c)
    print(f"R is absent; on 400 readings: ours {seconds:.3f} s, statsmodels {theirs:.2f} s")
    print(
        f"ratio        {theirs / seconds:8.1f} times as fast; criterion apart {got.criterion - criterion:+.2e}"
    )


if __name__ == "__main__":
    main()
