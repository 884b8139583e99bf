"""Do the intervals of instruments cover, and do the flags hold their share? Invented hospitals, many shapes.

Run: make study, or pytest studies/test_instrument_intervals.py -s (about 3 minutes of one core).
Crossed readings without courses (V = sigma^2 I), so that the effects stage is asked alone: instruments used mostly on
their own ward, by people of that ward, 5 to 1,000 readings each. True offsets are Gaussian (three spreads),
Student t3, or bimodal (85 % near 0, 15 % at ±0.4 °C). The truth an interval must hold is the true value of the very
contrast reported: the instrument less the weighted mean of the others it is compared with.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from scipy import sparse

from browline.findings import expected_false_share
from browline.variation.effects.heavy_tailed_prior import heavy_tailed_posterior
from browline.variation.effects.integrate import by_effect
from browline.variation.effects.lattice import top
from browline.variation.effects.solved import criterion
from browline.variation.levels import levels
from browline.variation.stays.cross_products import Sums

SIGMA, PERSON, WARD = 0.35, 0.06, 0.06
TOLERANCE, SHARE = 0.3, 0.10
FACTORS = ("instrument", "person", "ward")
HEAD = "| fleet | truth | fixed | fixed, off 0.25 or more | heavy | heavy, off |\n|---|---|---|---|---|---|"
FLEETS = {3: 40, 4: 30, 5: 25, 8: 20, 20: 8, 60: 3, 200: 1}
SHAPES = {
    "Gaussian 0.05": lambda rng, k: rng.normal(0, 0.05, k),
    "Gaussian 0.10": lambda rng, k: rng.normal(0, 0.10, k),
    "Gaussian 0.20": lambda rng, k: rng.normal(0, 0.20, k),
    "t3 x 0.10": lambda rng, k: 0.10 * rng.standard_t(3, k),
    "bimodal 0.4": lambda rng, k: (
        rng.normal(0, 0.05, k) + np.where(rng.random(k) < 0.15, rng.choice([-0.4, 0.4], k), 0)
    ),
}
BANDS = ((5, 20), (20, 60), (60, 200), (200, 1001))
SIZES = ((0.0, 0.2), (0.2, 0.3), (0.3, 0.4), (0.4, 0.5), (0.5, 9.0))


@dataclass(frozen=True)
class Fleet:
    """One hospital's instruments after the review, float64[k] each."""

    shape: str
    size: int
    n: np.ndarray
    truth: np.ndarray
    fixed: np.ndarray
    heavy: np.ndarray
    mean: np.ndarray
    beyond: np.ndarray
    flagged: np.ndarray


def crossed(rng, offsets):
    """Sums of a hospital's readings, and its parts."""
    fleet = len(offsets)
    wards, people = max(2, fleet // 6), max(6, 2 * fleet)
    n = np.exp(rng.uniform(np.log(5), np.log(1000), fleet)).astype(int)
    instrument = np.repeat(np.arange(fleet), n)
    home = rng.random(len(instrument)) < 0.7
    ward = np.where(home, instrument % wards, rng.integers(0, wards, len(instrument)))
    person = ward + wards * rng.integers(0, max(people // wards, 1), len(instrument))
    people = int(person.max()) + 1
    y = (
        37.0
        + offsets[instrument]
        + rng.normal(0, PERSON, people)[person]
        + rng.normal(0, WARD, wards)[ward]
        + rng.normal(0, SIGMA, len(instrument))
    )
    q, rows = fleet + people + wards, np.tile(np.arange(len(y)), 3)
    at = np.concatenate([instrument, fleet + person, fleet + people + ward])
    z = sparse.csr_array((np.ones(len(at)), (rows, at)), shape=(len(y), q))
    c, v = np.column_stack([np.ones(len(y)), y - 37.0]), SIGMA**2
    sums = Sums(len(y), (z.T @ z).toarray() / v, z.T @ c / v, c.T @ c / v, len(y) * np.log(v))
    ends = np.cumsum([0, fleet, people, wards]).tolist()
    return (
        sums,
        {f: slice(*e) for f, e in zip(FACTORS, pairwise(ends), strict=True)},
        n,
    )


def reml(sums, parts):
    """The sds at which the criterion is smallest, as the fit hands them over."""

    def density(t):
        return -criterion(sums, by_effect(parts, dict(zip(parts, np.exp(t), strict=True)), len(sums.zz))) / 2

    found = np.exp(top(density, np.log(np.full(len(parts), 0.1)), np.log(np.full(len(parts), 1e-4))))
    return dict(zip(parts, found.tolist(), strict=True))


def reviewed(shape, fleet, rng):
    offsets = SHAPES[shape](rng, fleet)
    sums, parts, n = crossed(rng, offsets)
    found = heavy_tailed_posterior(sums, parts, reml(sums, parts), levels(np.arange(fleet)))
    beyond = found.posterior.beyond(TOLERANCE)
    flagged = np.zeros(fleet, bool)
    flagged[np.argsort(-beyond)[: expected_false_share(beyond.tolist(), SHARE)]] = True
    return Fleet(
        shape,
        fleet,
        n,
        found.comparison.contrasts(offsets),
        np.array(found.fixed.interval()),
        np.array(found.posterior.interval()),
        found.posterior.centre,
        beyond,
        flagged,
    )


@pytest.fixture(scope="module")
def fleets():
    rng = np.random.default_rng(20)
    return [reviewed(s, size, rng) for size, many in FLEETS.items() for s in SHAPES for _ in range(many)]


def held(fleets, which, keep=lambda f: np.ones(f.size, bool)):
    """(held, asked) of the intervals `which` over the instruments `keep` chooses."""
    inside = [(getattr(f, which)[0] <= f.truth) & (f.truth <= getattr(f, which)[1]) for f in fleets]
    got = np.concatenate([i[keep(f)] for i, f in zip(inside, fleets, strict=True)] or [[]])
    return int(got.sum()), len(got)


def percent(counted):
    return f"{100 * counted[0] / counted[1]:.1f} of {counted[1]}" if counted[1] else "none"


def truly_off(f):
    return np.abs(f.truth) >= 0.25


def test_intervals_cover(fleets, capsys):
    with capsys.disabled():
        print(f"\n{len(fleets)} hospitals\n{HEAD}")
        for size in (*FLEETS, 0):
            for shape in (*SHAPES, "all"):
                some = [f for f in fleets if f.size == (size or f.size) and shape in (f.shape, "all")]
                cells = [
                    percent(held(some, w, k))
                    for w in ("fixed", "heavy")
                    for k in (lambda f: np.ones(f.size, bool), truly_off)
                ]
                print(f"| {size or 'all'} | {shape} | " + " | ".join(cells) + " |")
    small, large = [f for f in fleets if f.size < 5], [f for f in fleets if f.size >= 5]
    for some, most in ((small, 1.0), (large, 0.97)):
        for keep in (lambda f: np.ones(f.size, bool), truly_off):
            got, asked = held(some, "fixed", keep)
            slack = 2 * np.sqrt(0.05 * 0.95 / asked)
            assert 0.93 - slack <= got / asked <= most + slack


def test_flags_keep_their_share(fleets, capsys):
    lines, worst = ["\n| truth | flags | false | expected false |\n|---|---|---|---|"], []
    for shape in (*SHAPES, "all"):
        some = [f for f in fleets if shape in (f.shape, "all")]
        flags = sum(int(f.flagged.sum()) for f in some)
        false = sum(int((np.abs(f.truth)[f.flagged] <= TOLERANCE).sum()) for f in some)
        expected = sum(float((1 - f.beyond[f.flagged]).sum()) for f in some)
        lines.append(
            f"| {shape} | {flags} | {false} ({100 * false / max(flags, 1):.1f} %) | {expected:.1f} |"
        )
        worst.append((flags, false))
    with capsys.disabled():
        print("\n".join(lines))
    flags, false = worst[-1]
    assert false / flags <= SHARE + 2 * np.sqrt(SHARE * (1 - SHARE) / flags)


def test_power(fleets, capsys):
    truth, n, flagged = (np.concatenate([getattr(f, a) for f in fleets]) for a in ("truth", "n", "flagged"))
    head = " | ".join(f"{a} to {b - 1} readings" for a, b in BANDS)
    lines = [f"\nflagged, %\n| true offset, °C | {head} |" + "\n|---" + "|---" * len(BANDS) + "|"]
    for low, high in SIZES:
        size = (np.abs(truth) >= low) & (np.abs(truth) < high)
        cells = [flagged[size & (n >= a) & (n < b)] for a, b in BANDS]
        lines.append(
            f"| {low} to {high} | "
            + " | ".join(f"{100 * c.mean():.0f} of {len(c)}" if len(c) else "-" for c in cells)
            + " |"
        )
    with capsys.disabled():
        print("\n".join(lines))
    sure = (np.abs(truth) >= 0.5) & (n >= 200)
    assert flagged[sure].mean() >= 0.9


def test_mean_lies_in_the_interval_shown(fleets, capsys):
    out = np.concatenate([(f.mean < f.fixed[0]) | (f.mean > f.fixed[1]) for f in fleets])
    with capsys.disabled():
        print(f"\nposterior mean outside the interval shown: {100 * out.mean():.2f} % of {len(out)}")
    assert out.mean() < 0.05
