"""Chances told of questioned readings against how often it was so, in the model's own world and in others.

Run: make study. 20,000 made cases of two to six readings from each world (tests/course/worlds.py).
"""

import numpy as np
import pytest
from worlds import MODEL, OTHERS

from questioned import FEVER_C, LOW_C, told

EDGES = (0, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0 + 1e-9)
ENOUGH = 100
WORLDS = (MODEL, *OTHERS)
COVER, COVER_ELSEWHERE = (0.94, 0.965), 0.80


def questions(t):
    """Chance and truth of each of the three questions."""
    return {
        "at or over the fever line": (t.fever, t.core >= FEVER_C),
        "under the low line": (t.low, t.core < LOW_C),
        "a reading misled": (t.misled, t.misled_true),
    }


def bins(chance, so):
    """(from, to, cases, mean chance, share that was so) of each bin that has any."""
    at = np.digitize(chance, EDGES) - 1
    return [
        (EDGES[k], min(EDGES[k + 1], 1), int(here.sum()), chance[here].mean(), so[here].mean())
        for k in range(len(EDGES) - 1)
        if (here := at == k).any()
    ]


def brier(chance, so):
    """Brier score, then reliability, resolution, uncertainty by the bins of the table (Murphy 1973, from memory)."""
    table, base = bins(chance, so), so.mean()
    n = np.array([cases for _, _, cases, _, _ in table]) / len(chance)
    told_, was = (np.array([row[k] for row in table]) for k in (3, 4))
    return np.mean((chance - so) ** 2), n @ (told_ - was) ** 2, n @ (was - base) ** 2, base * (1 - base)


def cover(t):
    return np.mean((t.band_low_c <= t.core) & (t.core <= t.band_high_c))


def test_brier_by_hand():
    """Four forecasts: 0.1 (no), 0.1 (no), 0.8 (yes), 0.8 (no): (0.01 + 0.01 + 0.04 + 0.64) / 4 = 0.175; by bins
    reliability (2 * 0.01 + 2 * 0.09) / 4 = 0.05, resolution (2 * 0.0625 + 2 * 0.0625) / 4 = 0.0625, uncertainty
    0.1875; 0.05 - 0.0625 + 0.1875 = 0.175."""
    parts = brier(np.array([0.1, 0.1, 0.8, 0.8]), np.array([0, 0, 1, 0]))
    assert parts == pytest.approx((0.175, 0.05, 0.0625, 0.1875))


@pytest.mark.parametrize("world", WORLDS, ids=str)
def test_reliability(world, capsys):
    t = told(world)
    with capsys.disabled():
        for name, (chance, so) in questions(t).items():
            if world is MODEL or name == "at or over the fever line":
                print(
                    f"\n{world.name}: {name}\n\n| told | cases | mean told | it was so |\n|---|---|---|---|"
                )
                for low, high, cases, mean, share in bins(chance, so):
                    print(f"| {low:g} to {high:g} | {cases:,} | {mean:.3f} | {share:.3f} |")
    for chance, so in questions(t).values() if world is MODEL else ():
        for _, _, cases, mean, share in bins(chance, so):
            spread = np.sqrt(max(mean * (1 - mean), 1e-4) / cases)
            assert cases < ENOUGH or abs(share - mean) <= 3.5 * spread + 0.01


def test_scores(capsys):
    with capsys.disabled():
        print(
            "\n| world | question | cases | so | Brier | reliability | resolution | uncertainty | band holds |"
        )
        print("|---|---|---|---|---|---|---|---|---|")
        for world in WORLDS:
            for name, (chance, so) in questions(told(world)).items():
                parts = " | ".join(f"{part:.4f}" for part in brier(chance, so))
                held = f"{cover(told(world)):.1%}" if name == "at or over the fever line" else ""
                print(f"| {world.name} | {name} | {len(so):,} | {so.mean():.3f} | {parts} | {held} |")
    for world in WORLDS:
        for chance, so in questions(told(world)).values():
            score, _, _, uncertainty = brier(chance, so)
            assert score < uncertainty
    assert COVER[0] <= cover(told(MODEL)) <= COVER[1]
    assert all(cover(told(world)) >= COVER_ELSEWHERE for world in OTHERS)
    assert all(brier(*q)[1] < 0.0005 for q in questions(told(MODEL)).values())
