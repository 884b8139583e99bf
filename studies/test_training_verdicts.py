"""Did training work? Verdicts on 2,000 invented hospitals: coverage, wrong verdicts, and what the planner promised.

Run: make study. The readings of one person in one month stand as one cell. Sizes, spreads, how many people chart and
how strongly low readers are signed off first are drawn anew for every hospital; months of a ward wander, AR(0.7).
Wrong: changed where the truth is nought or the other way; no change seen where the truth is 0.1 °C or more.
"""

import os
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from math import sqrt
from pathlib import Path

import numpy as np
from wards import above, below

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "variation"))

WARDS = {4: 400, 6: 400, 8: 400, 12: 400, 20: 250, 30: 150}
EFFECTS_C = (0.0, 0.05, -0.05, 0.1, 0.15)
MATTERS_C, PROMISED, TIGHT_SE_C = 0.1, 0.9, 0.03
HIGHEST_READINGS = 80


@dataclass(frozen=True)
class Told:
    """What was told of one hospital, beside its truth and what the planner says of its roll-out."""

    wards: int
    truth: float
    verdict: str
    covered: bool
    error: float
    sd: float
    p: float | None
    se: float
    promised: float

    @property
    def wrong(self):
        if self.verdict == "no-change-seen":
            return abs(self.truth) >= MATTERS_C
        if self.verdict == "cannot-tell":
            return False
        return self.truth == 0 or (self.truth > 0) != (self.verdict == "changed-as-hoped")


def drawn(wards, rng):
    """A shape of so many wards, its spreads continuous through what is usual."""
    from invented_rollouts import Shape

    calm = rng.choice([0.4, 1.0])
    return Shape(
        wards,
        months=int(rng.integers(6, 19 if wards < 12 else 13)),
        people=int(rng.integers(3, 8 if wards < 12 else 5)),
        readings=rng.uniform(15, HIGHEST_READINGS),
        ward=rng.uniform(0.03, 0.15),
        person=rng.uniform(0.04, 0.15),
        instrument=rng.uniform(0.03, 0.15),
        ward_month=calm * rng.uniform(0.02, 0.1),
        person_response=calm * rng.uniform(0.0, 0.12),
        ward_response=calm * rng.uniform(0.0, 0.08),
        selection=rng.uniform(0.0, 1.5),
        never=rng.uniform(0.0, 0.3),
        uptake=rng.uniform(0.3, 4.0),
        last=rng.uniform(-2.0, 2.0),
    )


def told(task):
    """One hospital from its readings to its verdict."""
    from invented_rollouts import hospital, terms_and_sums

    from browline.variation.training.level import level
    from browline.variation.training.planner import design_se, power
    from browline.variation.training.verdict import judged

    wards, seed, truth = task
    rng = np.random.default_rng([wards, seed])
    h = hospital(drawn(wards, rng), truth, rng)
    terms, sums = terms_and_sums(h)
    found = level(sums, terms, -1)
    answer = judged(evidence(h, found, rng))
    plan = rollout(h)
    covered = found.low_c <= truth <= found.high_c
    promised = power(plan, 0.15)
    error = found.effect_c - truth
    p = answer.permutation_p
    return Told(wards, truth, answer.verdict.value, covered, error, found.sd_c, p, design_se(plan), promised)


def evidence(h, found, rng):
    """The evidence as the review would gather it, the order of the wards looked at where they are few."""
    from invented_rollouts import null_residual

    from browline.variation.training.exposure import compared_months
    from browline.variation.training.permutation import permutation_test, timetables
    from browline.variation.training.verdict import FEW_WARDS, Evidence

    orders = None
    if h.shape.wards < FEW_WARDS:
        c = h.charted
        a = timetables(null_residual(h), c.person, h.time, h.acted_on, h.signed_off, h.home, h.starts)
        orders = permutation_test(a, h.starts, rng)
    each = h.n.astype(int)
    exposed = type(h.exposed)(np.repeat(h.exposed.trained, each), np.repeat(h.exposed.untold, each))
    months = compared_months(
        exposed, np.ones(each.sum(), bool), np.repeat(h.charted.month, each), h.shape.months
    )
    signed = int(np.isfinite(h.signed_off).sum())
    return Evidence(found, orders, int(months.sum()), h.shape.months, h.shape.wards, signed)


def rollout(h):
    """The roll-out as the planner sees it, with the true spreads."""
    from browline.variation.training.planner import Rollout, Spreads

    s, c = h.shape, h.charted
    cell, size = c.ward * s.months + c.month, s.wards * s.months
    n = np.bincount(cell, h.n, size)
    share = np.divide(np.bincount(cell, h.n * h.exposed.trained, size), n, out=np.zeros(size), where=n > 0)
    spreads = Spreads(
        ward=s.ward,
        ward_month=s.ward_month,
        decay=s.rho,
        reading=s.reading,
        response=s.ward_response,
        person=s.person,
        people=len(h.signed_off) / s.wards,
    )
    return Rollout(share.reshape(s.wards, -1), n.reshape(s.wards, -1), spreads)


def share(hits):
    """A share with its Monte-Carlo error, as printed."""
    if not hits:
        return "     -       "
    p = float(np.mean(hits))
    return f"{100 * p:5.1f} ± {100 * sqrt(p * (1 - p) / len(hits)):3.1f} %"


def line(name, rows):
    hoped = [r.verdict == "changed-as-hoped" for r in rows if r.truth == 0.15 and r.promised >= PROMISED]
    tight = [r.verdict == "cannot-tell" for r in rows if r.se <= TIGHT_SE_C]
    none = [r.verdict == "cannot-tell" for r in rows]
    print(
        f"{name:>9} {len(rows):6}  {share([r.covered for r in rows])}  {share([r.wrong for r in rows])}  "
        f"{share(hoped)} {len(hoped):4}  {share(tight)} {len(tight):5}  {share(none)}  "
        f"{np.mean([r.error for r in rows]):+.4f} {np.mean([r.sd for r in rows]):.3f} "
        f"{np.std([r.error for r in rows]):.3f}"
    )


def by(rows, key: Callable, title):
    print(
        f"\n{title:>9}      n  95 % covers    wrong          hoped, promised   n  cannot, se<=.03    n"
        "  cannot tell    bias   sd   spread"
    )
    for value in sorted({key(r) for r in rows}):
        line(value, [r for r in rows if key(r) == value])
    line("all", rows)


def test_verdicts_are_seldom_wrong_and_intervals_cover():
    tasks = [(w, k, EFFECTS_C[k % len(EFFECTS_C)]) for w, many in WARDS.items() for k in range(many)]
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        rows = list(pool.map(told, tasks, chunksize=20))
    by(rows, lambda r: r.wards, "wards")
    by(rows, lambda r: r.truth, "effect °C")
    assert len(rows) >= 2_000
    hoped = [r.verdict == "changed-as-hoped" for r in rows if r.truth == 0.15 and r.promised >= PROMISED]
    tight = [r.verdict == "cannot-tell" for r in rows if r.se <= TIGHT_SE_C]
    covered = [r.covered for r in rows]
    assert not below(sum(covered), len(rows), 0.93)
    assert not above(sum(covered), len(rows), 0.97)
    assert not above(sum(r.wrong for r in rows), len(rows), 0.05)
    assert not below(sum(hoped), len(hoped), 0.80)
    assert not above(sum(tight), len(tight), 0.20)
