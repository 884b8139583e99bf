"""Do the intervals of sites hold? The joint model and its quick pairs in invented hospitals of many shapes and truths.

Run: make study, or pytest studies/test_site_intervals.py -s (about 5 minutes on two quiet cores). HOSPITALS is the
number of hospitals; the environment variable BROWLINE_HOSPITALS shrinks it for a trial.
What an interval must hold: the difference of two sites in a patient at 37.0 °C as this hospital's own instruments read
them (the estimand of variation/sites.py), on the average of all readings, low faults included; and the slope.
Hospitals are fitted as `solve` fits them, without the search for instruments that changed, of which there are none.
"""

import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import product
from multiprocessing import get_context

import numpy as np
import pytest

HOSPITALS = 2100
PROCESSES = 2
LOW, HIGH = 0.93, 0.97
SITE = "temporal"
HEAD = (
    "of | offset holds, % | model alone, % | bias, °C | half-width, °C | slope holds, % | slope bias | half-width"
    " | typical bias, °C | differ, %"
)


@dataclass(frozen=True)
class Row:
    """One site of one hospital: estimates less the truth, and half-widths, in °C; slopes NaN where not told.

    `alone`: half-width of the model's own interval, `half`: of the one shown, wider where `differ`.
    """

    shape: str
    truth: str
    site: str
    off: float
    half: float
    alone: float
    typical: float
    slope: float
    slope_half: float
    differ: bool
    usable: bool = True


def many() -> int:
    return int(os.environ.get("BROWLINE_HOSPITALS", HOSPITALS))


def one(seed: int) -> list[Row]:
    """The rows of one hospital; the seed names its shape and truth."""
    from hospitals import SHAPES, TRUTHS, hospital

    cells = list(product(SHAPES, TRUTHS))
    shape, truth = cells[seed % len(cells)]
    return rows(shape, truth, hospital(shape, truth, seed))


def rows(shape, truth, made) -> list[Row]:
    from browline.quantities.shares import Z95
    from browline.variation import Problem
    from browline.variation.fit import fit
    from browline.variation.joint_model import factor_levels
    from browline.variation.model import model
    from browline.variation.sites import as_read, site_table
    from browline.variation.tables import Fitted

    problem = Problem.from_readings(made.readings, reference_site="oral")
    kinds = factor_levels(problem)
    fitted = Fitted(fit(model(problem, {name: kind.codes for name, kind in kinds.items()})), kinds)
    sd = dict(zip(problem.sites, as_read(problem, fitted)[2], strict=True))
    usable = fitted.fit.outcome.usable
    return [
        Row(
            str(shape),
            truth.name,
            s.site,
            s.offset_c - made.offset_c[s.site],
            (s.high_c - s.low_c) / 2,
            Z95 * float(sd[s.site]),
            s.typical_c - made.typical_c[s.site],
            np.nan if s.slope is None else s.slope - made.slope[s.site],
            np.nan if s.slope is None else (s.slope_high - s.slope_low) / 2,
            s.disagrees,
            usable,
        )
        for s in site_table(problem, fitted)[1:]
    ]


@pytest.fixture(scope="module")
def found() -> list[Row]:
    """All rows; two processes with one thread each."""
    os.environ.update(OPENBLAS_NUM_THREADS="1", OMP_NUM_THREADS="1")
    with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
        return [row for got in pool.map(one, range(many()), chunksize=7) for row in got]


def share(held) -> str:
    """A share in percent with its Monte Carlo standard error."""
    p, n = float(np.mean(held)), len(held)
    return f"{100 * p:.1f} ± {100 * np.sqrt(max(p * (1 - p), 0.25 / n) / n):.1f}"


def holds(rows: list[Row], off: str = "off", half: str = "half"):
    """Which intervals hold, of those that are there."""
    told = [(getattr(r, off), getattr(r, half)) for r in rows if np.isfinite(getattr(r, half))]
    return np.array([abs(o) <= h for o, h in told])


def mean(values) -> str:
    values = np.array(values, float)
    return f"{values.mean():+.3f} ± {values.std() / np.sqrt(len(values)):.3f}"


def line(name: str, rows: list[Row]) -> str:
    sloped = [r for r in rows if np.isfinite(r.slope)]
    cells = [
        name,
        str(len(rows)),
        share(holds(rows)),
        share(holds(rows, half="alone")),
        mean([r.off for r in rows]),
        f"{np.median([r.half for r in rows]):.3f}",
        share(holds(sloped, "slope", "slope_half")) if sloped else "-",
        mean([r.slope for r in sloped]) if sloped else "-",
        f"{np.median([r.slope_half for r in sloped]):.3f}" if sloped else "-",
        mean([r.typical for r in rows]),
        f"{100 * np.mean([r.differ for r in rows]):.0f}",
    ]
    return f"| {' | '.join(cells)} |"


def table(rows: list[Row], by) -> list[str]:
    """A line for every value of `by`, in the order they come."""
    return [line(name, [r for r in rows if by(r) == name]) for name in dict.fromkeys(map(by, rows))]


def test_intervals_of_sites(found, capsys):
    forehead = [r for r in found if r.site == SITE]
    with capsys.disabled():
        print(f"\n{many()} hospitals; forehead against mouth, by truth\n| truth | {HEAD} |")
        print("|---" * (HEAD.count("|") + 2) + "|")
        print("\n".join([*table(forehead, lambda r: r.truth), line("all", forehead)]))
        print("Armpit against mouth")
        armpit = [r for r in found if r.site != SITE]
        print("\n".join([*table(armpit, lambda r: r.truth), line("all", armpit)]))
        print("Forehead, by shape")
        print("\n".join(table(forehead, lambda r: r.shape)))
        print("Forehead, Gaussian, by shape")
        print("\n".join(table([r for r in forehead if r.truth == "Gaussian"], lambda r: r.shape)))
    assert all(r.usable for r in found)
    gaussian = holds([r for r in found if r.truth == "Gaussian"])
    slack = 2 * np.sqrt(0.05 * 0.95 / len(gaussian))
    assert LOW - slack <= gaussian.mean() <= HIGH + slack
