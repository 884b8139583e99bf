"""Real numbers: charted temperatures of an open intensive-care set, and 130 healthy adults."""

import csv
from pathlib import Path

import numpy as np
import pytest

from browline import audit
from browline.audit.pattern import patterns
from browline.quantities import celsius
from browline.readings import FACTORS, AsCharted, Readings

DATA = Path(__file__).parents[1] / "data" / "charted-icu" / "clif_vitals_temperature.csv"
HEALTHY = Path(__file__).parents[1] / "oracles" / "normtemp.csv"


def _readings(value, ward, fahrenheit, time=None):
    n = len(value)
    number = {name: k for k, name in enumerate(sorted(set(ward)))}
    codes = {factor: np.full(n, -1, np.int32) for factor in FACTORS}
    codes["ward"] = np.array([number[w] for w in ward], np.int32)
    unknown = np.full(n, np.nan, np.float32)
    time = np.arange(n, dtype=float) if time is None else time
    return Readings(
        time=time,
        hour=np.mod(time, 24),
        value=celsius(value) if fahrenheit else value,
        codes=codes,
        names={**dict.fromkeys(FACTORS, ()), "ward": tuple(number), "site": ("unknown",)},
        charted=AsCharted(
            value, np.full(n, fahrenheit), np.zeros(n, bool), unknown, unknown, np.full(n, -1, np.int8)
        ),
    )


@pytest.fixture(scope="module")
def charts():
    """The set's own field says in which unit each value was charted before it was filed in °C."""
    with DATA.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    value = np.array([float(r["vital_value"]) for r in rows])
    return value, [r["vital_name"].split()[-1] for r in rows], [r["recorded_dttm"] for r in rows]


def test_the_numbers_tell_the_unit_they_were_charted_in(charts):
    """3,376 values were charted in °F and 391 in °C; all stand in °C. Oracle: the set's own column."""
    value, unit, _ = charts
    found = {p.name: p for p in patterns(audit.Problem(_readings(value, unit, False)))}
    assert found["Fahrenheit"].shows == "F" and found["Celsius"].shows == "C"
    assert found["Fahrenheit"].probability > 0.99


def test_together_they_look_mostly_converted(charts):
    value, unit, _ = charts
    [both] = patterns(audit.Problem(_readings(value, ["all"] * len(value), False)))
    assert both.converted > 0.6 and both.converted + 2.5 * both.error > unit.count("Fahrenheit") / len(unit)


def test_fahrenheit_in_the_celsius_field_is_no_celsius_number(charts):
    """The three slips of the set (97.2, 99.0, 98.9) stand in no histogram."""
    value, unit, _ = charts
    problem = audit.Problem(_readings(value, unit, False))
    taken = np.concatenate([t.which for t in problem.tables])
    assert sorted(np.delete(value, taken)[np.delete(value, taken) > 90]) == [97.2, 98.9, 99.0]


def test_charting_on_the_hour_is_seen(charts):
    value, _, when = charts
    minute = np.array([int(w[14:16]) for w in when])
    assert (minute == 0).mean() > 0.85
    readings = _readings(value, ["all"] * len(value), False, time=np.arange(len(value)) + minute / 60)
    [signal] = [s for s in audit.solve(audit.Problem(readings)).signals if s.test == "on-the-hour"]
    assert signal.outcome == "seen" and signal.effect == pytest.approx((minute == 0).mean(), abs=0.02)


def test_130_healthy_adults_have_no_unlikely_value():
    """Published data; their source stands in the file."""
    rows = [line.split(",") for line in HEALTHY.read_text().splitlines() if line[0].isdigit()]
    value = np.array([float(r[0]) for r in rows])
    assert len(value) == 130 and value.mean() == pytest.approx(98.25, abs=0.005)
    assert value.std(ddof=1) == pytest.approx(0.73, abs=0.005)
    audited = audit.solve(audit.Problem(_readings(value, ["volunteers"] * 130, True)))
    [spike] = [s for s in audited.signals if s.test == "value-spike"]
    assert spike.outcome != "seen" and 0.03 < spike.least < 0.12 and spike.low < 0.01
    [pattern] = patterns(audit.Problem(_readings(value, ["volunteers"] * 130, True)))
    assert pattern.shows == "F"  # 98.5, 98.7 and 98.9 stand there: no °C instrument gives them


def test_real_digits_are_far_from_even_though_no_value_is_unlikely(charts):
    """Why values are compared with a smooth curve through the chart's own lattice, never with even last digits."""
    value, _, _ = charts
    digits = np.bincount(np.rint(value * 10).astype(int) % 10, minlength=10)
    even = len(value) / 10
    assert ((digits - even) ** 2 / even).sum() > 100  # chi-square with 9 degrees: 16.9 at 5 %
    audited = audit.solve(audit.Problem(_readings(value, ["all"] * len(value), False)))
    [spike] = [s for s in audited.signals if s.test == "value-spike"]
    assert spike.outcome == "not-seen" and spike.least < 0.05
