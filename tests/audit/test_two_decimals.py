"""Charts with two decimals: converted °F is no habit of the ward, and a favoured hundredth is found."""

from dataclasses import replace

import numpy as np
import pytest

from browline import audit
from browline.audit.pattern import patterns
from browline.synthetic.many_wards import many_wards


def _two_decimals(seed, shown, wards=4, readings=1000):
    """Honest wards with the numbers charted anew from what was measured."""
    made = many_wards(np.random.default_rng(seed), wards=wards, readings=readings)
    return _charted(made.readings, np.round(shown(made.measured), 2))


def _charted(readings, value):
    return replace(readings, value=value, charted=replace(readings.charted, value=value))


def _as_measured(measured):
    return measured


def _through_fahrenheit(measured):
    return (np.round(measured * 1.8 + 32, 1) - 32) / 1.8


def _spikes(readings):
    return [s for s in audit.solve(audit.Problem(readings)).signals if s.test == "value-spike"]


def _twentieths(measured):
    return np.round(measured * 20) / 20


def _of_two_instruments(one, other):
    """Every other reading by an instrument of the other kind."""
    return lambda measured: np.where(np.arange(len(measured)) % 2, one(measured), other(measured))


def _tenths(measured):
    return np.round(measured, 1)


MIXED = [_of_two_instruments(_tenths, fine) for fine in (_as_measured, _twentieths, _through_fahrenheit)]


@pytest.mark.parametrize("shown", MIXED)
def test_a_ward_with_instruments_of_two_resolutions_is_not_accused(shown):
    assert all(s.outcome != "seen" for s in _spikes(_two_decimals(6, shown, wards=20)))


@pytest.mark.parametrize("shown", [_through_fahrenheit, _as_measured, _twentieths])
def test_honest_wards_are_quiet_and_all_their_readings_are_looked_at(shown):
    spikes = _spikes(_two_decimals(1, shown))
    assert len(spikes) == 4
    assert all(s.outcome == "not-seen" and s.n > 990 for s in spikes)


@pytest.mark.parametrize(("shown", "number", "at"), [
    (_through_fahrenheit, 36.67, "36.67 °C"),
    (_through_fahrenheit, 37.0, "37.00 °C"),
    (_as_measured, 36.63, "36.63 °C"),
    (_as_measured, 36.5, "36.50 °C"),
])  # fmt: skip
def test_a_favourite_is_found_as_it_was_charted_with_its_share(shown, number, at):
    made = _two_decimals(2, shown)
    overwritten = np.random.default_rng(9).random(len(made)) < 0.15
    spikes = _spikes(_charted(made, np.where(overwritten, number, made.value)))
    assert {s.label for s in spikes} == {at} and all(s.outcome == "seen" for s in spikes)
    assert np.mean([s.effect for s in spikes]) == pytest.approx(0.15, abs=0.015)


def test_the_pattern_of_converted_hundredths_is_fahrenheit():
    found = patterns(audit.Problem(_two_decimals(3, _through_fahrenheit)))
    shown = [p.shows for p in found]
    assert set(shown) <= {"F", ""} and shown.count("F") > len(shown) / 2


def test_readings_all_alike_are_told_once():
    made = _two_decimals(4, lambda measured: np.full(len(measured), 36.5))
    for spike in _spikes(made):
        assert spike.outcome == "seen" and spike.also == ()
        assert "hardly any would be expected" in audit.sentence(spike)


def test_a_file_without_any_site_does_not_blame_the_ward():
    made = many_wards(np.random.default_rng(5), wards=2, readings=300).readings
    nowhere = replace(made, codes={**made.codes, "site": np.full(len(made), -1, np.int32)})
    outcomes = {s.outcome for s in audit.solve(audit.Problem(nowhere)).signals if s.test == "site-missing"}
    assert outcomes == {audit.Outcome.NOT_ASKED}
