"""Selected retakes under known truths: the plain difference of pairs, the doubly robust estimate, and the model.

Run: make study. Each truth is drawn 60 times (1,500 stays of ten rounds, about 3,000 pairs); the model is fitted to
the first three. A warning is a check of the pairs alone; that the model differs is not counted.
"""

import sys
from pathlib import Path
from statistics import mean

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "variation"))

REPEATS, STAYS, FITTED = 60, 1500, 3
SOUND = ("Gaussian", "t3 errors", "spread differs by patient", "patient x site", "slope 0.75")
UNSOUND = ("uncharted first readings", "farthest uncharted", "unseen illness")
SIZES = (200, 400, 800, 1500)
BIAS_C, WARNED, SELDOM = 0.02, 0.90, 0.10


def of(name, seed, stays=STAYS):
    """The problem of one draw of a truth, with its pair estimate."""
    from invented_retakes import TRUTHS, retakes

    from browline.variation.problem import Problem
    from browline.variation.retakes import pair_estimate

    problem = Problem.from_readings(retakes(TRUTHS[name], seed, stays), reference_site="oral")
    return problem, pair_estimate(problem, 1)


def seen(pairs):
    """The signs seen in these pairs."""
    return {check.sign.value for check in pairs.checks if check.answer == "seen"}


def model(problem):
    """The model's offset of the second site at 37.0 °C."""
    from browline.variation import solve

    return solve(problem).sites[1].offset_c


@pytest.fixture(scope="module")
def drawn():
    """For every truth its pair estimates."""
    return {name: [of(name, seed)[1] for seed in range(REPEATS)] for name in (*SOUND, *UNSOUND)}


def test_truths(drawn, capsys):
    from invented_retakes import TRUTHS

    with capsys.disabled():
        print(
            "\n| truth | true at 37 | plain | doubly robust at 37 | 95 % interval | holds | warned | if 40 % |"
        )
        print("|---|---|---|---|---|---|---|---|")
        for name, pairs in drawn.items():
            print(row(name, TRUTHS[name].temporal_c, pairs))
    for name in SOUND:
        pairs, true = drawn[name], TRUTHS[name].temporal_c
        told = [p for p in pairs if p.offset_at_37 is not None]
        assert len(told) >= 0.95 * REPEATS
        assert abs(mean(p.offset_at_37.offset_c for p in told) - true) <= BIAS_C
        assert mean(bool(seen(p)) for p in pairs) <= SELDOM
        assert mean(held(p, true) for p in told) >= 0.90
    for name in UNSOUND:
        assert mean(bool(seen(p)) for p in drawn[name]) >= WARNED


def test_the_model_beside_the_pairs(drawn, capsys):
    """The model's offset at 37.0 °C in the first draws of each truth, beside the pairs' of the same draws."""
    from invented_retakes import TRUTHS

    with capsys.disabled():
        print("\n| truth | true at 37 | pairs at 37 | model at 37 |")
        print("|---|---|---|---|")
        for name, pairs in drawn.items():
            fitted = [model(of(name, seed)[0]) for seed in range(FITTED)]
            at = mean(p.offset_at_37.offset_c for p in pairs[:FITTED] if p.offset_at_37)
            print(f"| {name} | {TRUTHS[name].temporal_c:+.3f} | {at:+.3f} | {mean(fitted):+.3f} |")
            if name == "Gaussian":
                assert abs(mean(fitted) - TRUTHS[name].temporal_c) <= BIAS_C


def held(pairs, true):
    return pairs.offset_at_37.low_c < true < pairs.offset_at_37.high_c


def row(name, true, pairs):
    told = [p for p in pairs if p.offset_at_37 is not None]
    at = [p.offset_at_37 for p in told]
    half = mean((a.high_c - a.low_c) / 2 for a in at)
    cells = [
        name,
        f"{true:+.3f}",
        f"{mean(p.naive_c for p in pairs):+.3f}",
        f"{mean(a.offset_c for a in at):+.3f} (sd {np.std([a.offset_c for a in at]):.3f})",
        f"± {half:.3f}",
        f"{mean(held(p, true) for p in told):.0%} of {len(told)}",
        f"{mean(bool(seen(p)) for p in pairs):.0%}",
        f"{mean(p.sensitivity[-1].offset_c for p in told):+.3f}",
    ]
    return f"| {' | '.join(cells)} |"


def test_how_many_stays_the_warnings_need(capsys):
    """The share of data sets of each size with a sign seen: uncharted and unseen, and falsely so in sound ones."""
    with capsys.disabled():
        print("\n| truth | " + " | ".join(f"{n:,} stays" for n in SIZES) + " |")
        print("|---|" + "---|" * len(SIZES))
        for name in ("Gaussian", "t3 errors", *UNSOUND):
            shares = [mean(bool(seen(of(name, 500 + s, n)[1])) for s in range(30)) for n in SIZES]
            print(f"| {name} | " + " | ".join(f"{share:.0%}" for share in shares) + " |")


def test_intervals_hold_over_sizes(capsys):
    """The share of 95 % intervals of the mean over all first readings that hold it, small reviews included."""
    from invented_retakes import TRUTHS

    with capsys.disabled():
        print("\n| truth | stays | told | holds | half width |")
        print("|---|---|---|---|---|")
        for name in SOUND:
            for stays in (60, 150, 500):
                truth = TRUTHS[name]
                true = truth.temporal_c + (truth.slope - 1) * truth.mean_c
                told = [p for s in range(150) if (p := of(name, 900 + s, stays)[1]).offset_c is not None]
                holds = mean(p.low_c < true < p.high_c for p in told)
                half = mean((p.high_c - p.low_c) / 2 for p in told)
                print(f"| {name} | {stays} | {len(told)} of 150 | {holds:.0%} | {half:.3f} |")
                assert holds >= 0.89
