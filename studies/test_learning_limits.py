"""Limits of the learning-curve CUSUM for a few intended numbers of attempts, beside their exact chances.

Run: make study. For each design the simulated limit, the successes in a row it takes, how often a learner who is not
adequate and one who is reach it, from the simulation and by enumerating every score.
"""

from collections import defaultdict

import numpy as np
import pytest

from browline.competency.learning import Design, limit, shortest

DESIGNS = [(p0, d, n) for p0, d in ((0.10, 0.10), (0.10, 0.20), (0.10, 0.30)) for n in (10, 20, 50, 100)]


def exact(design, h, miss):
    """Chance of reaching h within the attempts, score by score."""
    states, reached = {(0, 0): 1.0}, 0.0
    for _ in range(design.attempts):
        after = defaultdict(float)
        for (done, missed), p in states.items():
            for step, chance in (((done + 1, missed), 1 - miss), ((done, missed + 1), miss)):
                score = step[0] * design.gain + step[1] * design.loss
                if score >= h - 1e-12:
                    reached += p * chance
                else:
                    after[step if score > 0 else (0, 0)] += p * chance
        states = after
    return reached


def test_limits_keep_their_promise(capsys):
    lines = [
        "",
        f"{'p0':>5}{'d':>6}{'n':>5}{'h':>8}{'in a row':>10}{'false':>8}{'exact':>8}{'power':>8}{'exact':>8}",
    ]
    for p0, d, n in DESIGNS:
        design = Design(p0, d, n)
        found = limit(design, np.random.default_rng(1), paths=100_000)
        if found.h is None:
            lines.append(
                f"{p0:5.2f}{d:6.2f}{n:5d}    none: even a run without a miss is too likely by chance"
            )
            assert (1 - p0 - d) ** n > design.false
            continue
        chances = [exact(design, found.h, miss) for miss in (p0 + d, p0)]
        lines.append(
            f"{p0:5.2f}{d:6.2f}{n:5d}{found.h:8.3f}{shortest(design, found.h):10d}"
            f"{found.false:8.3f}{chances[0]:8.3f}{found.power:8.3f}{chances[1]:8.3f}"
        )
        # Three standard errors of 100,000 runs around five in a hundred.
        assert chances[0] <= design.false + 0.0021
        assert chances == pytest.approx([found.false, found.power], abs=0.006)
    with capsys.disabled():
        print("\n".join(lines))
