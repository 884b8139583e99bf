"""The secondary measures against general libraries and invented hospitals with a known truth."""

from dataclasses import replace

import numpy as np
import pytest
from statsmodels.regression.linear_model import WLS
from statsmodels.stats.multitest import multipletests

from browline.variation.training.between_cells import (
    MAD_TO_SD,
    Cells,
    audit_rate,
    audit_rate_by_reading,
    spread_between_readings,
)
from browline.variation.training.between_people import spread_between_people
from browline.variation.training.holm import holm
from browline.variation.training.measures import Measure, with_holm

RATE = "The share of readings unlikely to have been measured"


def test_holms_chances_are_those_of_the_general_library():
    rng = np.random.default_rng(1)
    for m in (1, 2, 5, 40):
        p = rng.random(m) ** 4
        p[m // 2 :] = p[m // 2]
        assert holm(p) == pytest.approx(list(multipletests(p, method="holm")[1]), abs=1e-12)
    with pytest.raises(ValueError, match="chances"):
        holm([0.2, 1.3])


def test_holm_takes_in_only_what_can_be_told():
    told = Measure("a", 0.1, 0.0, 0.2, "°C", 0.02, None, "")
    measures = with_holm([told, replace(told, measure="b", p=None), replace(told, measure="c", p=0.04)])
    assert [m.p_holm for m in measures] == [0.04, None, 0.04]


def readings(rng, *, wards=10, months=12, narrower=1.0, share=0.0):
    """Residuals of wards that start one by one: spread times `narrower` and a lower share after their start."""
    size = wards * months * 150
    ward, month = rng.integers(0, wards, size), rng.integers(0, months, size)
    starts = rng.permutation(np.linspace(1, months - 2, wards))
    trained = (month > starts[ward]) & (rng.random(size) < 0.8)
    wide = 0.4 * np.exp(0.1 * rng.standard_normal(wards))[ward] * (1 + 0.2 * np.sin(month))
    e = wide * np.where(trained, narrower, 1.0) * rng.standard_normal(size)
    rate = 0.15 + 0.03 * rng.standard_normal(wards)[ward] + 0.01 * month - share * trained
    return e, ward, month, trained, rate.clip(0, 1)


def test_a_share_is_compared_as_by_a_regression_on_wards_and_months():
    """statsmodels WLS with a column for every ward and month, weighted by readings."""
    rng = np.random.default_rng(2)
    e, ward, month, trained, rate = readings(rng, share=0.06)
    probability = (rng.random(len(e)) < rate).astype(float)
    found = audit_rate_by_reading("unlikely", probability, ward, month, trained, RATE)
    columns = [trained[:, None], ward[:, None] == np.arange(10), month[:, None] == np.arange(1, 12)]
    whole = WLS(probability, np.column_stack(columns).astype(float)).fit()
    assert found.effect == pytest.approx(
        100 * whole.params[0], abs=0.2
    )  # cells under 20 readings are left out
    assert found.low < -6 < found.high < 0 and found.unit == "percentage points"
    assert found.sentence.startswith(f"{RATE} was ") and "smaller after sign-off" in found.sentence


def test_counted_cells_and_single_readings_say_the_same():
    rng = np.random.default_rng(3)
    _, ward, month, trained, rate = readings(rng, share=0.03)
    keys, code = np.unique(np.stack([ward, month, trained]), axis=1, return_inverse=True)
    n = np.bincount(code.ravel())
    cells = Cells(keys[0], keys[1], keys[2] == 1, n, np.bincount(code.ravel(), rate) / n)
    by_cell = audit_rate("unlikely", cells, RATE)
    assert by_cell.effect == audit_rate_by_reading("unlikely", rate, ward, month, trained, RATE).effect


def test_a_narrower_spread_of_readings_is_found_through_gross_values():
    rng = np.random.default_rng(4)
    e, ward, month, trained, _ = readings(rng, narrower=0.85)
    e[rng.random(len(e)) < 0.02] = -6.0
    found = spread_between_readings(e, ward, month, trained)
    assert found.low < -15 < found.high < 0 and found.unit == "%"
    assert abs(MAD_TO_SD - 1.4826) < 1e-4  # Hampel 1974, from memory


def test_nothing_is_claimed_where_nothing_changed():
    e, ward, month, trained, rate = readings(np.random.default_rng(5))
    for found in (
        spread_between_readings(e, ward, month, trained),
        audit_rate_by_reading("unlikely", rate, ward, month, trained, RATE),
    ):
        assert found.low <= 0 <= found.high and "did not change clearly" in found.sentence


def people(rng, *, wards=12, each=8, before=0.15, after=0.10):
    """Mean residuals of the same people before and after, sampling sds 0.03 to 0.09 °C known."""
    ward = np.repeat(np.arange(wards), each)
    own = rng.standard_normal(wards * each)
    sd = rng.uniform(0.03, 0.09, (2, wards * each))
    hidden = 0.2 * rng.standard_normal(wards)[ward]
    means = [
        hidden + s * own + v * rng.standard_normal(len(own)) for s, v in zip((before, after), sd, strict=True)
    ]
    return means[0], means[1], sd[0] ** 2, sd[1] ** 2, ward


def test_people_coming_closer_are_found():
    found = spread_between_people(*people(np.random.default_rng(6), before=0.20, after=0.08, wards=20))
    assert found.low < -0.12 < found.high < 0 and found.unit == "°C"


def test_more_readings_a_person_do_not_pass_for_people_alike():
    """Equal spreads of 0.10, means known to 0.3 °C before and to 0.02 after."""
    rng, ward = np.random.default_rng(12), np.repeat(np.arange(40), 10)
    own = 0.10 * rng.standard_normal(400)
    before, after = (own + sd * rng.standard_normal(400) for sd in (0.3, 0.02))
    found = spread_between_people(before, after, np.full(400, 0.09), np.full(400, 0.0004), ward)
    assert found.low < 0 < found.high and abs(found.effect) < 0.08


@pytest.mark.slow
def test_intervals_hold_the_planted_changes():
    """Recovery from simulation: 400 hospitals each; 95 % intervals, with room for 4 standard errors."""
    held = {"people": [], "readings": [], "rates": []}
    for seed in range(400):
        rng = np.random.default_rng(1000 + seed)
        found = spread_between_people(*people(rng))
        held["people"].append(found.low <= -0.05 <= found.high)
    for seed in range(100):
        rng = np.random.default_rng(5000 + seed)
        e, ward, month, trained, rate = readings(rng, narrower=0.9, share=0.03)
        found = spread_between_readings(e, ward, month, trained)
        held["readings"].append(found.low <= -10 <= found.high)
        lean = rng.random(len(e)) < rate
        found = audit_rate_by_reading("unlikely", lean.astype(float), ward, month, trained, RATE)
        held["rates"].append(found.low <= -3 <= found.high)
    for name, hits in held.items():
        assert np.mean(hits) >= 0.95 - 4 * (0.95 * 0.05 / len(hits)) ** 0.5, name


def test_people_who_stay_out_or_stand_alone_do_not_count():
    before, after, before_var, after_var, ward = people(np.random.default_rng(7))
    found = spread_between_people(before, after, before_var, after_var, ward)
    more = [np.append(a, [9.0, 9.0, 9.0]) for a in (before, after, before_var, after_var)]
    more[1][-2] = np.nan
    again = spread_between_people(*more, np.append(ward, [99, 3, -1]))
    assert again == found


def test_two_wards_are_too_few():
    before, after, before_var, after_var, ward = people(np.random.default_rng(8), wards=2)
    found = spread_between_people(before, after, before_var, after_var, ward)
    assert found.effect is None and found.p is None and found.sentence.endswith("too few to tell.")
    e, ward, month, trained, _ = readings(np.random.default_rng(9), wards=2)
    assert spread_between_readings(e, ward, month, trained).effect is None


def test_without_contemporaries_no_share_is_compared():
    e, ward, month, _, rate = readings(np.random.default_rng(10))
    found = audit_rate_by_reading("unlikely", rate, ward, month, month >= 6, RATE)
    assert found.effect is None
    assert spread_between_readings(e, ward, month, month >= 6).effect is None
