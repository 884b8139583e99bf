"""How often the 95 % intervals of kappa and AC1 hold the truth, with nothing and with half a pair added to each cell.

Run: make study. 5,000 tables for each of five ways of agreeing and four numbers of pairs.
"""

import numpy as np

from browline.competency.interrater import cohen, gwet, solve
from browline.quantities.shares import Z95

WAYS = [
    (0.85, 0.05, 0.04, 0.06),
    (0.60, 0.10, 0.10, 0.20),
    (0.40, 0.10, 0.05, 0.45),
    (0.94, 0.03, 0.02, 0.01),
    (0.70, 0.02, 0.02, 0.26),
]


def plain(counts, of, truth):
    """Whether the estimate and 1.96 of its errors hold the truth, on the table as it is."""
    found = of(counts / counts.sum())
    return found is not None and abs(found[0] - truth) <= Z95 * np.sqrt(max(0.0, found[1]) / counts.sum())


def held(coefficient, truth):
    return coefficient.low is not None and coefficient.low - 1e-9 <= truth <= coefficient.high + 1e-9


def test_intervals_hold(capsys):
    rng, lines, least = np.random.default_rng(1), [""], []
    for way in WAYS:
        truth = np.array(way).reshape(2, 2)
        kappa, ac1 = cohen(truth)[0], gwet(truth)[0]
        for n in (10, 20, 40, 100):
            tables = rng.multinomial(n, way, 5_000)
            kinds, counts = np.unique(tables, axis=0, return_counts=True)
            told = [
                (solve(k.reshape(2, 2)), k.reshape(2, 2).astype(float), c)
                for k, c in zip(kinds, counts, strict=True)
            ]
            # Where kappa cannot be worked out nothing is claimed, so those tables are left out of its share.
            can = sum(c for a, _, c in told if a.kappa.value is not None)
            ours = [
                sum(c for a, _, c in told if held(a.kappa, kappa)) / can,
                sum(c for a, _, c in told if held(a.ac1, ac1)) / 5_000,
            ]
            theirs = [
                sum(c for _, k, c in told if plain(k, of, t)) / 5_000
                for of, t in ((cohen, kappa), (gwet, ac1))
            ]
            least += ours
            lines.append(
                f"{way} n {n:3d}: kappa {kappa:.2f} held {ours[0]:.3f} (plain {theirs[0]:.3f}),"
                f" AC1 {ac1:.2f} held {ours[1]:.3f} (plain {theirs[1]:.3f})"
            )
    with capsys.disabled():
        print("\n".join([*lines, f"least {min(least):.3f}, most {max(least):.3f}"]))
    assert min(least) >= 0.92
