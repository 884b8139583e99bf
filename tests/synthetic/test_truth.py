"""The truth file against the tables and the latent arrays: what it says was planted can be found again."""

import json
import re

import numpy as np
import pytest

from browline.synthetic import Fault, Hospital, invent
from browline.synthetic.charting import SLIP_RATES, SLIPS


def column(hospital: Hospital, name: str) -> np.ndarray:
    return hospital.tables["readings"][name]


def rows(hospital: Hospital, kind: str) -> np.ndarray:
    return np.array(hospital.truth["rows_of"][kind], dtype=int) - 1


def test_the_truth_is_plain_json(small: Hospital) -> None:
    assert json.loads(json.dumps(small.truth))["readings"] == len(small.latent)


def test_the_faults_promised_are_planted_each_with_300_readings(small: Hospital) -> None:
    kinds = sorted(i["kind"] for i in small.truth["instruments"])
    assert kinds == ["lens", "mode", "offset", "offset", "step", "unit"]
    for i in small.truth["instruments"]:
        assert i["n"] >= 300, i
        assert i["kind"] == "unit" or abs(i["mean_c"]) >= 0.35, i


@pytest.mark.parametrize("kind", ["offset", "mode", "step", "lens"])
def test_a_planted_fault_shows_in_the_readings_against_honest_instruments(small: Hospital, kind: str) -> None:
    """Mean of (measured - patient at the site - person - ward) on the instrument less the same on honest
    scanners: the planted size within four standard errors and 0.05 for where the honest ones truly lie."""
    latent, fleet = small.latent, small.house.fleet
    off = latent.measured - latent.at_site - latent.person_part - latent.ward_part
    honest = (fleet.fault[latent.instrument] < 0) & (latent.site == 0)
    ids = fleet.id[latent.instrument]
    for fault in (i for i in small.truth["instruments"] if i["kind"] == kind):
        used = (ids == fault["instrument"]) & (latent.site == 0)
        if kind == "step":
            used &= latent.time >= small.house.clock.moment(0.45)
        se = off[used].std() / np.sqrt(used.sum())
        found = off[used].mean() - off[honest].mean()
        planted = fault["mean_c"] if kind == "lens" else fault["size_c"]
        assert abs(found - planted) < 4 * se + 0.05, (fault, found, se)


def test_the_counts_of_readings_are_those_of_the_table(small: Hospital) -> None:
    once = np.setdiff1d(np.arange(small.truth["rows"]), rows(small, "re-sent"))
    ids, days = column(small, "instrument")[once], column(small, "time")[once].astype("<U10")
    for i in small.truth["instruments"]:
        assert (ids == i["instrument"]).sum() == i["n_all"]
        after = ((ids == i["instrument"]) & (days >= i["first_day"])).sum()
        assert 0 <= after - i["n"] <= 0.02 * i["n_all"] + 30  # the step falls within its first day


def test_a_dirty_lens_sinks_between_cleanings_and_jumps_back(small: Hospital) -> None:
    lens = next(i for i in small.truth["instruments"] if i["kind"] == "lens")
    latent, house = small.latent, small.house
    used = house.fleet.id[latent.instrument] == lens["instrument"]
    cleaned = small.tables["cleanings"]["time"][small.tables["cleanings"]["instrument"] == lens["instrument"]]
    written = house.clock.written(latent.time[used])
    since = np.searchsorted(np.sort(cleaned), written, side="right")
    off = (latent.measured - latent.at_site)[used]
    days = house.cleanings.days_since(latent.instrument[used], latent.time[used])
    young, old = (since > 0) & (days < 2), (since > 0) & (days > 10)
    assert off[young].mean() - off[old].mean() > 0.3
    slope = np.polyfit(days[since > 0], off[since > 0], 1)[0]
    assert abs(slope - lens["size_c"]) < 0.01


def test_each_slip_of_the_hand_is_where_the_truth_says(small: Hospital) -> None:
    pattern = {
        "decimal-comma": r"\d+,\d",
        "lost-point": r"\d{3,4}",
        "word": r"[A-Za-z ]+",
        "fahrenheit-in-celsius": r"(8|9|10)\d\.\d",
        "fahrenheit-as-shown": r"(8|9|10)\d\.\d",
    }
    for kind, shape in pattern.items():
        values = column(small, "value")[rows(small, kind)]
        assert len(values) and all(re.fullmatch(shape, v) for v in values), kind
    for kind in ("fahrenheit-in-celsius", "fahrenheit-as-shown"):
        assert set(column(small, "unit")[rows(small, kind)]) == {"C"}
    assert all(v != "" for v in column(small, "note")[rows(small, "struck-out")])


def test_every_odd_value_in_the_table_is_in_the_truth(small: Hospital) -> None:
    """A Celsius cell that is no number between 30 and 44 must be one of the planted rows."""
    planted = np.concatenate([rows(small, k) for k in (*SLIPS, "fahrenheit-as-shown")])
    celsius = np.flatnonzero(column(small, "unit") == "C")
    odd = [r for r in celsius if not re.fullmatch(r"3\d\.\d|4[0-3]\.\d", column(small, "value")[r])]
    assert len(odd) > 1000
    assert set(odd) <= set(planted.tolist())


def test_slips_come_at_their_stated_rates(small: Hospital) -> None:
    n = small.truth["rows"]
    for kind, rate in zip(SLIPS, SLIP_RATES, strict=True):
        least = 0.8 if kind == "fahrenheit-in-celsius" else 1.0  # not on wards that chart in Fahrenheit
        count = len(rows(small, kind))
        assert abs(count - rate * n) < 4 * np.sqrt(rate * n) + (1 - least) * rate * n, kind


def test_one_ward_has_an_excess_of_exactly_36(small: Hospital) -> None:
    """Published size: 11.3 % (10.6-12.1) of readings, Jackson et al. 2023; until the form loses its default."""
    truth = small.truth["wards"]["spike"]
    until = column(small, "time") < truth["until"]
    assert set(column(small, "ward")[rows(small, "spike")]) == {truth["ward"]}
    spike = np.intersect1d(rows(small, "spike"), np.flatnonzero(until))
    ward = until & (column(small, "ward") == truth["ward"])
    assert 0.10 < len(spike) / ward.sum() < 0.125
    share = (column(small, "value") == "36.0")[ward].mean()
    elsewhere = (column(small, "value") == "36.0")[until & ~ward & (column(small, "unit") == "C")].mean()
    assert 0.09 < share - elsewhere < 0.14


def test_a_copy_repeats_the_cell_before_it_in_the_same_stay(small: Hospital) -> None:
    """Cells without a slip only, by stay and in the order of the readings."""
    first_row = {int(r): i for i, r in reversed(list(enumerate(small.row_reading)))}
    value, slipped = column(small, "value"), set(np.concatenate([rows(small, k) for k in SLIPS]).tolist())
    slipped |= set(rows(small, "fahrenheit-as-shown").tolist())
    checked = 0
    for row in rows(small, "copied"):
        reading = int(small.row_reading[row])
        before = first_row[reading - 1]
        assert small.latent.stay[reading - 1] == small.latent.stay[reading]
        if row not in slipped and before not in slipped:
            assert value[row] == value[before]
            checked += 1
    assert checked > 300


def test_a_re_sent_row_equals_a_row_before_it(small: Hospital) -> None:
    cells = list(zip(*small.tables["readings"].values(), strict=True))
    first = {}
    for i, row in enumerate(cells):
        first.setdefault(row, i)
    re_sent = rows(small, "re-sent")
    assert len(re_sent) > 100
    assert all(first[cells[r]] < r for r in re_sent)


def test_rows_without_a_site_are_those_of_the_truth(small: Hospital) -> None:
    empty = np.flatnonzero(column(small, "site") == "")
    assert set(rows(small, "site-left-out")) == set(empty.tolist())
    ward = column(small, "ward")[empty]
    assert (ward == small.truth["wards"]["site_left_out"]["ward"]).mean() > 1.5 / 10


def test_an_honest_fleet_has_no_planted_instrument() -> None:
    honest = invent(5000, seed=3, faults=())
    assert honest.truth["instruments"] == []
    assert np.abs(honest.latent.instrument_part).max() < 0.2


def test_a_fault_asked_for_is_the_fault_planted() -> None:
    hospital = invent(8000, seed=3, faults=(Fault("step", 0.5, since=0.5),))
    (planted,) = hospital.truth["instruments"]
    latent = hospital.latent
    part = latent.instrument_part[hospital.house.fleet.id[latent.instrument] == planted["instrument"]]
    assert (planted["size_c"], set(np.round(part, 9))) == (0.5, {0.0, 0.5})
