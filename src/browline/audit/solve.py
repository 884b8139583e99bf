"""The gesture of the room: every test on every ward, with_outcomes together."""

import numpy as np

from browline import display
from browline.audit import pattern, peers, thresholds
from browline.audit.bunching import BESIDE_C, Bunching
from browline.audit.discovery import quantile, single_test_level, with_outcomes
from browline.audit.full_hours import PASSED, on_the_hour
from browline.audit.histograms import Table
from browline.audit.onset import with_onset
from browline.audit.probability_measured import probabilities
from browline.audit.problem import Problem
from browline.audit.repeated_values import Carried
from browline.audit.repeats import PASSED as CARRIED_PASSED
from browline.audit.result import Audit, Outcome, Signal
from browline.audit.spike import Spike
from browline.audit.value_tests import SPIKE_PASSED, ValueTests, run_value_tests

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
    value_tests = [run_value_tests(problem, table) for table in problem.tables]
    signals = _value_signals(problem, value_tests)
    signals += _peer_signals(problem)
    signals += on_the_hour(problem)
    signals += thresholds.by_ward(problem) + thresholds.by_instrument(problem)
    outcomes = with_outcomes(signals, problem.false_share, _required_effects(problem))
    outcomes += tuple(pattern.signals(problem, pattern.patterns(problem)))
    flagged = {(s.test, s.subject_id) for s in outcomes if s.outcome is Outcome.SEEN}
    return Audit(with_onset(problem, value_tests, outcomes), probabilities(problem, value_tests, flagged))


def _required_effects(problem: Problem) -> dict[str, float]:
    """The effect that a quiet test must have been able to see: beyond what it lets pass."""
    return {test: share + problem.detectable_proportion for test, share in LETS_PASS.items()} | RELATIVE


def _value_signals(problem: Problem, value_tests: list[ValueTests]) -> list[Signal]:
    wards = max(1, int((problem.per_ward() > 0).sum()))
    out: list[Signal] = []
    for tests in value_tests:
        batch = [_spike(problem, tests, s, wards) for s in tests.spikes.first]
        batch += [_carried(problem, "copied-values", c, wards) for c in tests.copies]
        batch += [_carried(problem, "round-batch", c, wards) for c in tests.batches]
        charted = np.bincount(problem.ward[tests.table.which])
        batch += [_bunching(problem, tests.table, e, int(charted[e.ward]), wards) for e in tests.bunching]
        out += batch
    return _strongest(out) + _unavailable(problem, out)


def _strongest(signals: list[Signal]) -> list[Signal]:
    """A ward that charts in both units is told once a test: by the unit that speaks most clearly."""
    best: dict[tuple[str, str], Signal] = {}
    for s in signals:
        key = (s.test, s.subject_id)
        if key not in best or (s.p or 0.0, -s.n) < (best[key].p or 0.0, -best[key].n):
            best[key] = s
    return list(best.values())


def _unavailable(problem: Problem, signals: list[Signal]) -> list[Signal]:
    """Wards without any pair to look at are told so; without enough values near the line, that they are too few."""
    have = {(s.test, s.subject_id) for s in signals}
    wards = [problem.wards[w] for w in np.flatnonzero(problem.per_ward())]
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


def _spike(problem: Problem, tests: ValueTests, s: Spike, wards: int) -> Signal:
    e, grid = s.excess, tests.table.grid
    low, high = e.interval
    under = problem.fever_c - float(grid.celsius[s.place])
    return Signal(
        test="value-spike", subject_type="ward", subject_id=problem.wards[s.ward], n=e.n,
        outcome=Outcome.NOT_SEEN, effect=e.proportion, low=low, high=high,
        observed=e.observed / e.n, expected=e.expected / e.n, p=s.p,
        least=e.least(s.tolerance, single_test_level(problem.false_share / wards / s.candidates)),
        label=grid.written(s.place),
        parts={"under the line": under} if 0 < under <= BESIDE_C + 1e-9 else {},
        also=tuple(grid.written(m.place) for m in tests.spikes.more if m.ward == s.ward),
    )  # fmt: skip


def _carried(problem: Problem, test: str, c: Carried, wards: int) -> Signal:
    e = c.excess
    low, high = e.interval
    return Signal(
        test=test, subject_type="ward", subject_id=problem.wards[c.ward], n=e.n, outcome=Outcome.NOT_SEEN,
        effect=e.proportion, low=low, high=high,
        observed=e.observed / e.n, expected=e.expected / e.n, p=c.p,
        least=e.least(c.tolerance, single_test_level(problem.false_share / wards)),
    )  # fmt: skip


def _bunching(problem: Problem, table: Table, e: Bunching, n: int, wards: int) -> Signal:
    low, high = e.interval
    in_f = table.grid.fahrenheit and not table.grid.filed_celsius
    line = problem.fever_c * 1.8 + 32 if in_f else problem.fever_c
    parts = {
        "above": e.above.observed, "above expected": e.above.expected,
        "below": e.below.observed, "below expected": e.below.expected,
    }  # fmt: skip
    return Signal(
        test="edge", subject_type="ward", subject_id=problem.wards[e.ward], n=n, outcome=Outcome.NOT_SEEN,
        effect=e.missing, low=low, high=high, p=e.p,
        least=e.least(quantile(problem.false_share / wards)),
        label=f"{display.decimal(line)} °{'F' if in_f else 'C'}",
        parts=parts,
    )  # fmt: skip


def _peer_signals(problem: Problem) -> list[Signal]:
    wards = max(1, int((problem.per_ward() > 0).sum()))
    z = quantile(problem.false_share / wards)
    out = []
    for test, comparisons in (
        ("fever-missing", peers.fevers(problem)),
        ("narrow-spread", peers.log_sds(problem)),
        ("site-switching", peers.switches(problem)),
    ):
        out += [_among_peers(problem, test, s, z) for s in comparisons]
        compared = {s.ward for s in comparisons}
        out += [
            Signal(
                test=test, subject_type="ward", subject_id=problem.wards[w], n=0, outcome=Outcome.NOT_ASKED
            )
            for w in np.flatnonzero(problem.per_ward())
            if w not in compared
        ]
    return out


def _among_peers(problem: Problem, test: str, s: peers.PeerComparison, z: float) -> Signal:
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
