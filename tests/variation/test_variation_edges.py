"""Readings that hold less than the model would like: always an answer from the closed list, never a crash."""

import numpy as np
import pytest
from invented_readings import Truth, readings, without

from browline.readings import Readings
from browline.variation import Outcome, Problem, findings, limits, solve

CAST = {"instruments": 6, "people": 8, "wards": 3, "seed": 5}


def given(n=1500, **changes):
    return readings(n, **{**CAST, **changes})


def recoded(r: Readings, **codes) -> Readings:
    return Readings(r.time, r.hour, r.value, {**r.codes, **codes}, r.names, r.row)


def said(result):
    return " ".join(limits(result))


@pytest.mark.parametrize("n", [0, 1, 5, 19])
def test_few_readings(n):
    result = solve(Problem.from_readings(given().take(np.arange(n))))
    assert result.outcome is Outcome.TOO_FEW
    assert findings(result) == ()
    assert "Too few readings" in said(result)


@pytest.mark.parametrize("n", [20, 30, 60, 120])
def test_not_many_readings(n):
    result = solve(Problem.from_readings(given(n)))
    assert result.outcome in Outcome
    assert findings(result) == () or result.outcome.usable


def test_all_values_the_same():
    r = given(200)
    result = solve(
        Problem.from_readings(Readings(r.time, r.hour, np.full(200, 37.0), r.codes, r.names, r.row))
    )
    assert result.outcome is Outcome.NOT_IDENTIFIED
    assert findings(result) == ()


def test_no_stays():
    truth = Truth(ward_offsets={1: 0.8}, patient=0.2)
    result = solve(Problem.from_readings(without(given(4000, wards=8, truth=truth), "stay", "patient")))
    assert result.outcome.usable
    assert result.spread.patient_sd_c is None and result.spread.course_sd_c is None
    assert "cannot be told from one that reads high" in said(result)
    ward = next(f for f in findings(result) if f.subject_type == "ward")
    assert "the ward's patients may explain it" in ward.sentence
    assert ward.causes[0].cause == "the ward's mix of patients"


def test_patients_without_stays_count_as_stays():
    result = solve(Problem.from_readings(without(given(), "stay")))
    assert result.spread.patient_sd_c == pytest.approx(0.45, abs=0.08)
    assert "all readings of a patient count as one stay" in said(result)


def test_no_instruments_and_no_people():
    result = solve(Problem.from_readings(without(given(), "instrument", "person")))
    assert result.outcome.usable
    assert result.instruments == () and result.people == ()
    assert result.spread.instrument_sd_c is None
    assert "does not say the instrument" in said(result)


def test_nothing_but_times_values_and_sites():
    result = solve(Problem.from_readings(without(given(), "stay", "patient", "instrument", "person", "ward")))
    assert result.outcome is Outcome.CONVERGED
    assert [s.site for s in result.sites] == ["temporal", "oral", "axillary"]


@pytest.mark.parametrize("factor", ["instrument", "ward", "person"])
def test_a_factor_with_one_level(factor):
    r = given()
    result = solve(Problem.from_readings(recoded(r, **{factor: np.zeros(len(r), np.int32)})))
    assert result.outcome.usable
    assert result.effects(factor) == ()
    assert f"Only one {factor} is charted" in said(result)


def test_every_reading_its_own_stay():
    r = given()
    own = np.arange(len(r), dtype=np.int32)
    result = solve(Problem.from_readings(recoded(r, stay=own)))
    assert result.outcome.usable
    assert result.spread.patient_sd_c is None
    assert "Hardly any stay has two readings" in said(result)


def test_every_reading_its_own_instrument():
    r = given(300)
    names = {**r.names, "instrument": tuple(map(str, range(300)))}
    codes = {**r.codes, "instrument": np.arange(300, dtype=np.int32)}
    result = solve(Problem.from_readings(Readings(r.time, r.hour, r.value, codes, names, r.row)))
    assert result.instruments == ()


def test_stays_read_at_one_moment_only():
    r = given()
    begun = np.zeros(int(r.codes["stay"].max()) + 1)
    begun[:] = r.time.min() + 40.0 * np.arange(len(begun))
    time = begun[r.codes["stay"]]
    result = solve(Problem.from_readings(Readings(time, time % 24, r.value, r.codes, r.names, r.row)))
    assert result.spread.course_sd_c is None and result.spread.patient_sd_c is not None
    assert "Too few stays were read at three moments or more" in said(result)


def test_missing_codes_for_some_readings():
    r = given(6000, instruments=12)
    gone = np.random.default_rng(1).random(len(r)) < 0.3
    codes = {f: np.where(gone & (f != "site"), -1, c).astype(np.int32) for f, c in r.codes.items()}
    result = solve(Problem.from_readings(recoded(r, **codes)))
    assert result.outcome.usable
    assert sum(e.n for e in result.instruments) == (~gone).sum()


def test_readings_without_a_site_are_left_out_and_counted():
    r = given()
    site = np.where(np.arange(len(r)) % 4 == 0, -1, r.codes["site"]).astype(np.int32)
    result = solve(Problem.from_readings(recoded(r, site=site)))
    assert [s.site for s in result.sites] == ["temporal", "oral", "axillary"]
    assert result.counts.without_site == 375
    assert "375 readings that say no site" in said(result)


def test_where_hardly_any_reading_says_its_site_all_are_used():
    r = given()
    site = np.where(np.arange(len(r)) % 10 > 0, -1, r.codes["site"]).astype(np.int32)
    result = solve(Problem.from_readings(recoded(r, site=site)))
    assert result.counts.readings == len(r)
    assert "unknown" in [s.site for s in result.sites]
    assert result.reference_site == "temporal"


def test_one_hour_of_the_day():
    r = given()
    result = solve(
        Problem.from_readings(Readings(r.time, np.full(len(r), 8.0), r.value, r.codes, r.names, r.row))
    )
    assert result.outcome.usable
    assert "Too few different hours" in said(result)


def test_duplicates_do_not_break_the_fit():
    r = given(800)
    twice = np.repeat(np.arange(800), 2)
    assert solve(Problem.from_readings(r.take(twice))).outcome.usable


def test_unlikely_values_are_set_aside_and_counted():
    r = given()
    value = r.value.copy()
    value[:3] = [3.7, 98.6, 370.0]
    result = solve(Problem.from_readings(Readings(r.time, r.hour, value, r.codes, r.names, r.row)))
    assert result.counts.set_aside == 3
    assert result.counts.readings == len(r) - 3
    assert "3 readings outside 30 to 44 °C" in said(result)


def test_unused_names_do_not_become_subjects():
    r = given()
    names = {**r.names, "instrument": (*r.names["instrument"], "TT-900", "TT-901")}
    result = solve(Problem.from_readings(Readings(r.time, r.hour, r.value, r.codes, names, r.row)))
    assert len(result.instruments) == 6


def test_a_long_stay_of_5000_readings():
    r = given(6000)
    stay = np.where(np.arange(6000) < 5000, 0, r.codes["stay"]).astype(np.int32)
    time = r.time.copy()
    time[:5000] = time.min() + np.arange(5000) * 0.4
    result = solve(
        Problem.from_readings(Readings(time, time % 24, r.value, {**r.codes, "stay": stay}, r.names, r.row))
    )
    assert result.outcome in Outcome


def test_the_order_of_rows_does_not_matter():
    r = given(2000, instruments=12)
    shuffled = r.take(np.random.default_rng(3).permutation(len(r)))
    a, b = solve(Problem.from_readings(r)), solve(Problem.from_readings(shuffled))
    assert b.criterion == pytest.approx(a.criterion, abs=1e-4)
    assert [e.offset_c for e in b.instruments] == pytest.approx([e.offset_c for e in a.instruments], abs=1e-5)
    assert [s.sd_c for s in b.sites] == pytest.approx([s.sd_c for s in a.sites], abs=1e-5)


def test_the_reference_site_can_be_named_and_a_wrong_one_is_refused():
    r = given()
    assert Problem.from_readings(r, reference_site="oral").sites[0] == "oral"
    with pytest.raises(ValueError, match="the sites charted are temporal, oral, axillary"):
        Problem.from_readings(r, reference_site="rectal")


def test_a_core_site_charted_in_the_same_stays_is_the_reference():
    r = given()
    core = Readings(
        r.time, r.hour, r.value, r.codes, {**r.names, "site": ("temporal", "oral", "bladder")}, r.row
    )
    assert Problem.from_readings(core).sites[0] == "bladder"
    few = core.take((core.codes["site"] != 2) | (np.arange(len(core)) % 10 == 0))
    assert Problem.from_readings(few).sites[0] == "temporal"


def test_progress_is_told():
    told = []
    solve(Problem.from_readings(given()), progress=lambda sentence, share: told.append((sentence, share)))
    assert told[0][0] == "Fitting where the spread comes from"
    assert all(0 <= share <= 1 for _, share in told)
    assert [share for _, share in told] == sorted(share for _, share in told)
