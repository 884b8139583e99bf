"""The gesture of the room: every test on every ward, judged together."""

import numpy as np

from browline import display
from browline.audit import pattern, peers, thresholds
from browline.audit.bunching import BESIDE_C, Edge
from browline.audit.discovery import alone, judged, quantile
from browline.audit.full_hours import PASSED, on_the_hour
from browline.audit.histograms import Table
from browline.audit.onset import dated
from browline.audit.probability_measured import chances
from browline.audit.problem import Problem
from browline.audit.repeated_values import Carried
from browline.audit.repeats import PASSED as CARRIED_PASSED
from browline.audit.result import Audit, Outcome, Signal
from browline.audit.spike import Spike
from browline.audit.value_tests import SPIKE_PASSED, Looked, look

HALF = 0.5
"""A gap at the line, or a lack against wards of its kind, has to be visible from a half on to be called not seen."""
LETS_PASS = {"value-spike": SPIKE_PASSED, "on-the-hour": PASSED, **CARRIED_PASSED, "site-switching": 0.0}
"""Share of readings, or of pairs, that each test of an excess lets pass."""
RELATIVE = dict.fromkeys(("edge", "fever-missing", "narrow-spread"), HALF)
"""Effect of each test whose size is relative to what is expected."""


def solve(problem: Problem) -> Audit:
    """Ask every test of every ward; false flags are held to `problem.false_share` within each test.

    Linear in readings, but for sorting them by patient and by ward.
    """
    looked = [look(problem, table) for table in problem.tables]
    signals = _of_values(problem, looked)
    signals += _of_peers(problem)
    signals += on_the_hour(problem)
    signals += thresholds.by_ward(problem) + thresholds.by_instrument(problem)
    settled = judged(signals, problem.false_share, _told(problem))
    settled += tuple(pattern.signals(problem, pattern.patterns(problem)))
    seen = {(s.test, s.subject_id) for s in settled if s.outcome is Outcome.SEEN}
    return Audit(dated(problem, looked, settled), chances(problem, looked, seen))


def _told(problem: Problem) -> dict[str, float]:
    """The effect that a quiet test must have been able to see: `problem.told` beyond what it lets pass."""
    return {test: share + problem.told for test, share in LETS_PASS.items()} | RELATIVE


def _of_values(problem: Problem, looked: list[Looked]) -> list[Signal]:
    wards = max(1, int((problem.of_ward() > 0).sum()))
    out: list[Signal] = []
    for at in looked:
        found = [_spike(problem, at, s, wards) for s in at.spikes.first]
        found += [_carried(problem, "copied-values", c, wards) for c in at.copies]
        found += [_carried(problem, "round-batch", c, wards) for c in at.batches]
        charted = np.bincount(problem.ward[at.table.which])
        found += [_edge(problem, at.table, e, int(charted[e.ward]), wards) for e in at.edges]
        out += found
    return _one_each(out) + _not_asked(problem, out)


def _one_each(signals: list[Signal]) -> list[Signal]:
    """A ward that charts in both units is told once a test: by the unit that speaks most clearly."""
    best: dict[tuple[str, str], Signal] = {}
    for s in signals:
        key = (s.test, s.subject_id)
        if key not in best or (s.p or 0.0, -s.n) < (best[key].p or 0.0, -best[key].n):
            best[key] = s
    return list(best.values())


def _not_asked(problem: Problem, asked: list[Signal]) -> list[Signal]:
    """Wards without any pair to look at are told so; without enough values near the line, that they are too few."""
    have = {(s.test, s.subject_id) for s in asked}
    wards = [problem.wards[w] for w in np.flatnonzero(problem.of_ward())]
    return [
        Signal(
            test=test,
            subject_type="ward",
            subject_id=ward,
            n=0,
            outcome=Outcome.TOO_FEW if test == "edge" else Outcome.NOT_ASKED,
        )
        for test in ("value-spike", "copied-values", "round-batch", "edge")
        for ward in wards
        if (test, ward) not in have
    ]


def _spike(problem: Problem, at: Looked, s: Spike, wards: int) -> Signal:
    e, lattice = s.excess, at.table.lattice
    low, high = e.interval
    under = problem.fever_c - float(lattice.celsius[s.place])
    return Signal(
        test="value-spike", subject_type="ward", subject_id=problem.wards[s.ward], n=e.n,
        outcome=Outcome.NOT_SEEN, effect=e.share, low=low, high=high,
        observed=e.observed / e.n, expected=e.expected / e.n, p=s.p,
        least=e.least(s.tolerance, alone(problem.false_share / wards / s.candidates)), at=lattice.written(s.place),
        parts={"under the line": under} if 0 < under <= BESIDE_C + 1e-9 else {},
        also=tuple(lattice.written(m.place) for m in at.spikes.more if m.ward == s.ward),
    )  # fmt: skip


def _carried(problem: Problem, test: str, c: Carried, wards: int) -> Signal:
    e = c.excess
    low, high = e.interval
    return Signal(
        test=test, subject_type="ward", subject_id=problem.wards[c.ward], n=e.n, outcome=Outcome.NOT_SEEN,
        effect=e.share, low=low, high=high,
        observed=e.observed / e.n, expected=e.expected / e.n, p=c.p,
        least=e.least(c.tolerance, alone(problem.false_share / wards)),
    )  # fmt: skip


def _edge(problem: Problem, table: Table, e: Edge, n: int, wards: int) -> Signal:
    low, high = e.interval
    in_f = table.lattice.fahrenheit and not table.lattice.filed_celsius
    line = problem.fever_c * 1.8 + 32 if in_f else problem.fever_c
    parts = {
        "above": e.above.observed, "above expected": e.above.expected,
        "below": e.below.observed, "below expected": e.below.expected,
    }  # fmt: skip
    return Signal(
        test="edge", subject_type="ward", subject_id=problem.wards[e.ward], n=n, outcome=Outcome.NOT_SEEN,
        effect=e.missing, low=low, high=high, p=e.p,
        least=e.least(quantile(problem.false_share / wards)),
        at=f"{display.decimal(line)} °{'F' if in_f else 'C'}",
        parts=parts,
    )  # fmt: skip


def _of_peers(problem: Problem) -> list[Signal]:
    wards = max(1, int((problem.of_ward() > 0).sum()))
    z = quantile(problem.false_share / wards)
    out = []
    for test, found in (
        ("fever-missing", peers.fevers(problem)),
        ("narrow-spread", peers.spreads(problem)),
        ("site-switching", peers.switches(problem)),
    ):
        out += [_among_peers(problem, test, s, z) for s in found]
        told = {s.ward for s in found}
        out += [
            Signal(
                test=test, subject_type="ward", subject_id=problem.wards[w], n=0, outcome=Outcome.NOT_ASKED
            )
            for w in np.flatnonzero(problem.of_ward())
            if w not in told
        ]
    return out


def _among_peers(problem: Problem, test: str, s: peers.Standing, z: float) -> Signal:
    low, high = s.interval
    ward, least = problem.wards[s.ward], s.least(z)
    if test == "site-switching":
        return Signal(
            test=test, subject_type="ward", subject_id=ward, n=s.n, outcome=Outcome.NOT_SEEN,
            effect=s.value - s.usual, low=low, high=high, observed=s.value, expected=s.usual, p=s.p(1.0),
            least=least,
        )  # fmt: skip
    if test == "narrow-spread":
        effect, low, high = peers.narrower(s)
        return Signal(
            test=test, subject_type="ward", subject_id=ward, n=s.n, outcome=Outcome.NOT_SEEN, effect=effect,
            low=low, high=high, p=s.p(-1.0),
            least=1 - float(np.exp(-least)),
        )  # fmt: skip
    return Signal(
        test=test, subject_type="ward", subject_id=ward, n=s.n, outcome=Outcome.NOT_SEEN,
        effect=1 - s.value / s.usual, low=-high / s.usual, high=-low / s.usual,
        observed=s.value, expected=s.usual, p=s.p(-1.0), least=least / s.usual,
    )  # fmt: skip
