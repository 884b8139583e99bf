"""Numbers carried over: known answers, planted shares, and honest likeness that must not be taken for copying."""

import numpy as np
import pytest
from scipy.stats import norm

from browline import audit
from browline.audit.expected_density import fit
from browline.audit.histograms import Table
from browline.audit.pairs import patient_pairs, round_pairs
from browline.audit.recording_grid import CELSIUS
from browline.audit.repeated_values import Pairs, carried
from browline.audit.spike import table_histograms
from browline.synthetic.many_wards import many_wards
from browline.synthetic.plant import Plant


def _signals(test, seed=1, **options):
    made = many_wards(np.random.default_rng(seed), **options)
    audited = audit.solve(audit.Problem(made.readings))
    return made, [s for s in audited.signals if s.test == test], audited


def test_equal_pairs_of_independent_readings_are_expected_as_enumerated():
    """Known answer: two independent normal readings at 0.1 °C agree with chance ``sum_k p_k^2``."""
    rng, n, sd = np.random.default_rng(2), 40_000, 0.3
    place = CELSIUS.places(np.round(37 + sd * rng.standard_normal(n), 1))
    nought = np.zeros(n, np.int64)
    table = Table(CELSIUS, np.arange(n), place, nought, np.zeros(1, np.int64), np.zeros(1, np.int64))
    first = np.arange(0, n, 2)
    pairs = Pairs(first, first + 1, nought[first], np.arange(n // 2))
    found = carried(table, fit(table_histograms(table)), pairs, 0.0)[0]
    edges = np.arange(34.95, 39.1, 0.1)
    chance = np.diff(norm.cdf(edges, 37, sd))
    assert found.excess.expected / found.excess.n == pytest.approx((chance**2).sum(), rel=0.04)
    low, high = found.excess.interval
    assert low < 0 < high


@pytest.mark.parametrize(("plant", "test"), [
    (Plant(copies=0.12), "copied-values"),
    (Plant(batches=0.12), "round-batch"),
])  # fmt: skip
@pytest.mark.parametrize("charting", ["C", "mixed-as-F"])
def test_what_was_carried_over_is_found_with_its_share(plant, test, charting):
    made, found, audited = _signals(test, wards=20, readings=1500, charting=charting, plant=plant)
    assert all(s.outcome == "seen" for s in found) and len(found) == 20
    other = "round-batch" if test == "copied-values" else "copied-values"
    assert not any(s.test == other for s in audited.flagged)
    assert np.mean([s.effect for s in found]) == pytest.approx(0.12, abs=0.012)
    assert np.mean([s.low <= 0.12 <= s.high for s in found]) >= 0.85
    mask = made.copied if test == "copied-values" else made.batched
    assert audited.measured[mask].mean() < 0.6 < audited.measured[~mask].mean()


def test_a_stay_that_hardly_moves_is_not_called_copied():
    """Shuffling would call it so: successive readings agree twice as often as shuffled ones."""
    made, found, _ = _signals("copied-values", wards=20, readings=1500, site_mix={"rectal": 1.0})
    pairs = patient_pairs(audit.Problem(made.readings))
    value = made.readings.value
    agree = (value[pairs.later] == value[pairs.earlier]).mean()
    shuffled = (value[np.random.default_rng(3).permutation(pairs.later)] == value[pairs.earlier]).mean()
    assert agree > 1.4 * shuffled
    assert not any(s.outcome == "seen" for s in found)


def test_a_spike_is_not_told_again_as_copies_or_batches():
    _, _, audited = _signals("value-spike", wards=10, readings=2000, plant=Plant(spike=(36.0, 0.2)))
    assert {s.test for s in audited.flagged} == {"value-spike"}


def test_probes_in_place_repeat_themselves_honestly_and_are_not_asked():
    _, found, audited = _signals("copied-values", wards=4, readings=800, care="intensive")
    assert {s.outcome.value for s in found} == {"not-asked"}
    assert not any(s.test in ("pace", "on-the-hour") for s in audited.flagged)


def test_quick_retakes_are_no_copies_and_a_patient_is_no_neighbour_of_himself():
    from browline.audit.repeats import COPY_HOURS, copies
    from browline.audit.spike import find

    made = many_wards(np.random.default_rng(6), wards=1, readings=600).readings
    again = made.take(np.repeat(np.arange(len(made)), 2))
    time = again.time + np.tile([0.0, 0.1], len(made))
    order = np.argsort(time, kind="stable")
    problem = audit.Problem(type(again)(time, again.hour, again.value, again.codes, again.names,
                                        charted=again.charted).take(order))  # fmt: skip
    [table] = problem.tables
    _, pairs = copies(problem, table, find(table, problem.cluster[table.which], 0.005).smooth)
    assert pairs.hours.min() >= COPY_HOURS[0]
    rounds = round_pairs(problem)
    assert (problem.who[rounds.earlier] != problem.who[rounds.later]).all() and len(rounds.later) > 100


def test_pairs_follow_each_other_as_the_generator_says():
    """Oracle: the generator knows which reading came before in the stay and in the round."""
    made = many_wards(np.random.default_rng(5), wards=3, readings=300)
    order = np.argsort(made.readings.time, kind="stable")
    problem = audit.Problem(made.readings.take(order))
    place = np.empty(len(order), int)
    place[order] = np.arange(len(order))
    truth = {(place[b], place[k]) for k, b in enumerate(made.stay_before) if b >= 0}
    pairs = patient_pairs(problem)
    assert set(zip(pairs.earlier.tolist(), pairs.later.tolist(), strict=True)) == truth
    rounds = round_pairs(problem)
    known = {(place[b], place[k]) for k, b in enumerate(made.round_before) if b >= 0}
    mine = set(zip(rounds.earlier.tolist(), rounds.later.tolist(), strict=True))
    assert len(mine & known) > 0.6 * len(known)
