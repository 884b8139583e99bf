"""Unlikely values: found where planted, silent where honest, whatever the unit on the chart."""

import numpy as np
import pytest

from browline import audit
from browline.audit.clusters import variance_between
from browline.audit.histograms import Table
from browline.audit.recording_grid import CELSIUS
from browline.audit.spike import find
from browline.synthetic.many_wards import many_wards
from browline.synthetic.plant import Plant


def _audited(seed=1, **options):
    made = many_wards(np.random.default_rng(seed), **options)
    return made, audit.solve(audit.Problem(made.readings))


def _of(audited, test):
    return [s for s in audited.signals if s.test == test]


@pytest.mark.parametrize("charting", ["C", "F-as-C", "mixed", "F", "C-as-F"])
def test_honest_wards_are_quiet_in_every_unit(charting):
    _, audited = _audited(wards=40, readings=500, charting=charting)
    for test in ("value-spike", "copied-values", "round-batch", "edge"):
        assert all(s.outcome != "seen" for s in _of(audited, test)), test


@pytest.mark.parametrize(("charting", "at"), [("C", "36.0 °C"), ("F-as-C", "36.0 °C"), ("C-as-F", "96.8 °F")])
def test_the_published_size_of_spike_is_found_with_an_interval_that_holds_it(charting, at):
    """11 % at 36.0 °C: Jackson et al. 2023, Sci Rep, doi 10.1038/s41598-023-30691-z."""
    made, audited = _audited(wards=60, readings=600, charting=charting, plant=Plant(spike=(36.0, 0.113)))
    spikes = _of(audited, "value-spike")
    assert [s.label for s in spikes] == [at] * 60
    assert all(s.outcome == "seen" for s in spikes)
    truth = np.bincount(made.readings.codes["ward"], made.spiked) / 600
    held = [s.low <= 0.113 <= s.high for s in spikes]
    assert np.mean(held) >= 0.88
    assert np.mean([s.effect for s in spikes]) == pytest.approx(truth.mean(), abs=0.006)


def test_a_great_spike_is_named_however_many_the_readings():
    """It bends the first curve so far that its thin neighbours look odder than itself."""
    rng, wards, n = np.random.default_rng(7), 30, 14_000
    level = 36.9 + 0.28 * rng.standard_normal(wards * n // 14) + (rng.random(wards * n // 14) < 0.07) * 1.0
    value = np.round(np.repeat(level, 14) + 0.36 * rng.standard_normal(wards * n), 1)
    place = CELSIUS.places(np.where(rng.random(len(value)) < 0.11, 36.0, value))
    kept = np.flatnonzero(place >= 0)
    ward = np.repeat(np.arange(wards), n)[kept]
    table = Table(CELSIUS, kept, place[kept], ward, np.arange(wards), np.zeros(wards, np.int64))
    found = find(table, np.arange(len(kept)), 0.005)
    assert [CELSIUS.written(s.place) for s in found.first] == ["36.0 °C"] * wards


def test_the_favourite_is_local():
    found = []
    for value in (36.4, 37.0, 38.2):
        _, audited = _audited(wards=6, readings=1500, plant=Plant(spike=(value, 0.08)))
        found.append({s.label for s in audited.flagged if s.test == "value-spike"})
    assert found == [{"36.4 °C"}, {"37.0 °C"}, {"38.2 °C"}]


def test_few_readings_say_too_few_and_what_would_have_shown():
    _, audited = _audited(wards=8, readings=60)
    spikes = _of(audited, "value-spike")
    assert {s.outcome.value for s in spikes} == {"too-few"}
    assert all(s.least > 0.055 for s in spikes)


def test_each_reading_has_a_chance_of_having_been_measured():
    made, audited = _audited(wards=20, readings=2000, plant=Plant(spike=(36.0, 0.1)))
    at = made.readings.value == 36.0
    assert (audited.measured[~at] == 1).all() and (audited.measured[at] < 1).all()
    assert (1 - audited.measured).sum() == pytest.approx(made.spiked.sum(), rel=0.03)


def test_variance_between_clusters_against_the_plain_sum():
    """Oracle: the formula written out with loops."""
    rng = np.random.default_rng(3)
    cluster = rng.integers(0, 12, 200)
    ward, residual = cluster % 3, rng.standard_normal(200)
    expected = []
    for w in range(3):
        mine = [c for c in range(12) if c % 3 == w]
        mean = residual[ward == w].mean()
        square = sum((residual[cluster == c] - mean).sum() ** 2 for c in mine)
        expected.append(square * len(mine) / (len(mine) - 1))
    np.testing.assert_allclose(variance_between(residual, cluster, ward, 3), expected)


def test_a_spike_that_began_is_dated_and_one_that_ended_is_told():
    made = many_wards(np.random.default_rng(4), wards=2, readings=6000, plant=Plant(spike=(36.0, 0.12)))
    readings = made.readings
    half = np.median(readings.time)
    for keep, since in (
        (made.spiked & (readings.time < half), True),
        (made.spiked & (readings.time >= half), False),
    ):
        left = audit.solve(audit.Problem(readings.take(~keep)))
        spike = next(s for s in left.flagged if s.test == "value-spike")
        assert (spike.since is not None) == since and spike.turned is not None
        assert ("risen" if since else "fallen") in audit.sentence(spike)
