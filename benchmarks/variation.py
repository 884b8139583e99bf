"""How long does the joint model take, against general mixed-model packages on the same readings in the same run?

Whose question: whoever wonders why the model is written out here, and whoever has a million readings.

    python benchmarks/variation.py            10,000 and 100,000 readings against R's lme4 and glmmTMB; growth to 10^6
    python benchmarks/variation.py --large    also lme4 at 1,000,000 (minutes) and growth to 10^7
    python benchmarks/variation.py --part peers|growth|cold      one part alone

Pinned: readings by seed (crossed/readings.py), n / 8 stays, 200 instruments, 1,500 people, 30 wards; REML; optimisers
and tolerances as printed. Each program is timed inside its fit, columns already in memory; ours includes sorting
them. The criteria and the sds apart are printed, so that a fast wrong answer would show. R's sparse factors run as
fast as the BLAS it has: where the system's is the reference one, `--blas LIBRARY` loads a better one for R
(e.g. OpenBLAS's libblas.so.3); which one it had is printed.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import json
import platform
from pathlib import Path
from typing import Any

from crossed import alone, cold
from crossed.peers import SETTINGS, Peer, installed, peer
from crossed.picture import picture

COMPARED, GROWTH, MILLION, LARGEST = (10_000, 100_000), (10_000, 100_000, 1_000_000), 1_000_000, 10_000_000


def main() -> None:
    """Print what is asked for."""
    args = asked().parse_args()
    if args.write:
        kind, n, place = args.write
        alone.write(kind, int(n), Path(place))
    elif args.alone:
        print(json.dumps(alone.alone(args.alone[0], Path(args.alone[1]))))
    elif args.review:
        print(json.dumps(cold.review()))
    else:
        report(args)


def asked() -> argparse.ArgumentParser:
    """The command line; the last three are what this script asks of itself."""
    made = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    made.add_argument("--large", action="store_true", help="lme4 at 10^6, ours at 10^7")
    made.add_argument("--part", choices=("peers", "growth", "cold"))
    made.add_argument("--blas", default="", help="libraries R is to load first, by LD_PRELOAD")
    made.add_argument("--picture", help="where the growth is drawn, .svg or .png")
    made.add_argument("--write", nargs=3, help=argparse.SUPPRESS)
    made.add_argument("--alone", nargs=2, help=argparse.SUPPRESS)
    made.add_argument("--review", action="store_true", help=argparse.SUPPRESS)
    return made


def report(args: argparse.Namespace) -> None:
    """The parts in turn."""
    print(
        f"{os.cpu_count()} processors, {platform.machine()}, Python {platform.python_version()};"
        f" {os.getloadavg()[0]:.1f} other tasks running: compare `cpu` where that is not near 0"
    )
    with alone.folder() as name:
        folder = Path(name)
        if args.part in (None, "peers"):
            compare(folder, args.large, args.blas)
        if args.part in (None, "growth"):
            rows = grow(folder, args.large)
            if args.picture:
                picture(rows, Path(args.picture))
    if args.part in (None, "cold"):
        start()


def compare(folder: Path, large: bool, blas: str) -> None:
    """The ordinary model by each program, and the full model at a million against lme4's ordinary one."""
    from crossed.ours import TOLERANCE

    print("\nOrdinary crossed model, REML: y ~ site + 4 rhythm columns + stay + instrument + person + ward")
    print(f"  ours: average-information steps, {TOLERANCE}")
    for package, how in SETTINGS.items():
        print(f"  {package}: {how}")
    for n in COMPARED:
        beside(folder, n, ("lme4", "glmmTMB"), blas)
    if large:
        theirs = beside(folder, MILLION, ("lme4",), blas)
        full_against(folder, theirs)


def beside(folder: Path, n: int, packages: tuple[str, ...], blas: str) -> dict[str, float]:
    """Ours and the packages' on the same n readings; the packages' seconds."""
    place = alone.written("ordinary", n, folder)
    mine = alone.measured("ordinary", place)
    print(f"\n{n:>11,}      seconds     cpu   ratio   of cpu       -2 log REML   less ours  sds apart")
    how = f"{mine['outcome']}, {mine['passes']} passes"
    print(
        f"  ours        {mine['seconds']:9.2f}  {mine['cpu']:6.1f}  {'':15}  {mine['criterion']:16.6f}   {how}"
    )
    seconds = {}
    for package in packages:
        if not installed(package):
            print(f"  {package:<10}  not installed in R here")
            continue
        theirs = peer(package, place, blas)
        seconds[package] = theirs.seconds
        print(beside_ours(mine, package, theirs))
    return seconds


def beside_ours(mine: dict[str, Any], package: str, theirs: Peer) -> str:
    """One line: how long it took, how many times ours that is, and how far the answers are apart."""
    apart = max(abs(sd / mine["sds"][name] - 1) for name, sd in theirs.sds.items())
    return (
        f"  {package:<10}  {theirs.seconds:9.2f}  {theirs.cpu:6.1f}  {theirs.seconds / mine['seconds']:6.1f}  "
        f"{theirs.cpu / mine['cpu']:7.1f}  {theirs.criterion:16.6f}  {theirs.criterion - mine['criterion']:+10.1e}"
        f"  {apart:9.0e}  {package} {theirs.version}, BLAS {theirs.blas}"
    )


def full_against(folder: Path, theirs: dict[str, float]) -> None:
    """Our full model at a million readings beside lme4's ordinary one."""
    mine = alone.measured("full", alone.written("full", MILLION, folder))
    print(
        "\nFull model: courses and spreads by care group, patient x site, error by site, a site's slope, drift"
    )
    print(
        f"  ours, {MILLION:,} readings: {mine['seconds']:.1f} s, {mine['outcome']}, {mine['passes']} passes"
    )
    if "lme4" in theirs:
        print(f"  {theirs['lme4'] / mine['seconds']:.1f} times as fast as lme4's ordinary model")


def grow(folder: Path, large: bool) -> list[dict[str, Any]]:
    """Time and peak memory by size, each size in a fresh process, and the distance to one pass over the data."""
    print(
        "\nGrowth; `pass` is NumPy reading every column once, `memory` the peak, of which `held` before the fit"
    )
    print("  model       readings   seconds     cpu  passes  ms each  pass ms  fit/pass  held MB  memory MB")
    rows = []
    for kind in ("ordinary", "full"):
        for n in (*GROWTH, LARGEST) if large else GROWTH:
            rows.append({"model": kind} | alone.measured(kind, alone.written(kind, n, folder)))
            print(row(kind, rows[-1]), flush=True)
    return rows


def row(kind: str, m: dict[str, Any]) -> str:
    """One line of the growth table."""
    return (
        f"  {kind:<9} {m['n']:>10,}  {m['seconds']:8.2f}  {m['cpu']:6.1f}  {m['passes']:6}  "
        f"{m['seconds'] / m['passes'] * 1e3:7.0f}  {m['floor'] * 1e3:7.1f}  {m['seconds'] / m['floor']:8.0f}  "
        f"{m['before_mb']:7.0f}  {m['peak_mb']:9.0f}"
    )


def start() -> None:
    """The first review after installing, and the next ones."""
    print(
        f"\nA small review ({cold.SMALL:,} readings) through solve(Problem.from_readings(readings)), seconds"
    )
    print("  process                     whole   import    solve  solve again")
    names = ("no compiled kernels", "second process", "third process")
    for name, m in zip(names, cold.cold_and_warm(), strict=True):
        print(f"  {name:<25} {m['whole']:7.2f}  {m['import']:7.2f}  {m['solve']:7.2f}  {m['again']:11.2f}")


if __name__ == "__main__":
    main()
