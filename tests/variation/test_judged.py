"""Instruments used by mouth or in the armpit are not judged; forehead instruments are judged as before."""

from dataclasses import replace

import numpy as np
import pytest
from invented_readings import Truth, readings

from browline.findings import NOT_JUDGED
from browline.readings import Readings
from browline.variation import Problem, findings, limits, solve
from browline.variation.explain import describe
from browline.variation.judged import main_sites
from browline.variation.limitations import NOT_YET
from browline.variation.result import Partner

SITES = ("temporal", "oral", "axillary", "bladder")
BY_MOUTH, ARMPIT, PROBES = range(12, 16), range(16, 19), range(19, 22)
PLANTED = Truth(offsets={3: -0.6, 13: 0.6, 17: -0.6})


def cast():
    """22 instruments, each kept to its site; number 3 (forehead), 13 (mouth) and 17 (armpit) read 0.6 °C off."""
    r = readings(9000, instruments=22, people=20, wards=4, seed=5, truth=PLANTED)
    kept_to = np.repeat(np.arange(4), (12, 4, 3, 3))
    site = kept_to[r.codes["instrument"]]
    constant = np.array([0.0, 0.2, -0.4, 0.1])
    value = r.value - constant[:3][r.codes["site"]] + constant[site]
    names = {**r.names, "site": SITES}
    codes = {**r.codes, "site": site.astype(np.int32)}
    return Readings(r.time, r.hour, value, codes, names, r.row)


@pytest.fixture(scope="module")
def problem():
    return Problem.from_readings(cast(), reference_site="temporal")


@pytest.fixture(scope="module")
def result(problem):
    return solve(problem)


def test_the_site_is_the_one_most_readings_were_taken_at(problem):
    mostly = main_sites(problem, "instrument")
    assert [mostly[k] for k in (3, 13, 17, 20)] == ["temporal", "oral", "axillary", "bladder"]
    assert set(main_sites(problem, "ward")) == {"temporal"}


def test_only_those_by_mouth_or_in_the_armpit_are_not_judged(result):
    names = {e.code for e in result.instruments if not e.judged}
    assert names == {*BY_MOUTH, *ARMPIT}
    assert all(e.judged for e in (*result.wards, *result.people))


def test_no_finding_is_made_of_them_and_the_forehead_is_judged_as_before(result):
    assert {f.subject_id for f in findings(result)} == {"TT-003"}
    everybody = replace(result, instruments=tuple(replace(e, judged=True) for e in result.instruments))
    assert {f.subject_id for f in findings(everybody)} == {"TT-003", "TT-013", "TT-017"}


def test_they_are_said_not_to_be_judged(result):
    by_mouth = next(e for e in result.instruments if e.code == 13)
    assert describe(by_mouth) == f"TT-013: {NOT_JUDGED}."
    assert NOT_YET.format(number="7 of 22") in limits(result)


def test_a_ward_known_only_together_with_one_makes_no_finding_either(result):
    beside = Partner("instrument", "TT-013", -0.9, 0.8, 0.05)
    ward = replace(result.wards[0], chance=1.0, offset_c=0.8, confounded_with=(beside,))
    assert ward.name not in {f.subject_id for f in findings(replace(result, wards=(ward,)))}
    other = replace(ward, confounded_with=(replace(beside, name="TT-004"),))
    found = findings(replace(result, wards=(other,), instruments=()))
    assert [(f.kind, f.subject_id) for f in found] == [("cannot-separate", ward.name)]


def test_a_ward_that_mostly_reads_by_mouth_is_not_judged():
    r = cast()
    at_home = np.where((r.codes["ward"] == 0) & (r.codes["site"] == 0), 1, r.codes["site"])
    moved = Readings(r.time, r.hour, r.value, {**r.codes, "site": at_home}, r.names, r.row)
    asked = Problem.from_readings(moved, reference_site="temporal")
    assert [w == "oral" for w in main_sites(asked, "ward")] == [True, False, False, False]
    core_only = np.where(r.codes["ward"] == 0, 3, r.codes["site"])
    cored = Readings(r.time, r.hour, r.value, {**r.codes, "site": core_only}, r.names, r.row)
    assert main_sites(Problem.from_readings(cored, reference_site="temporal"), "ward")[0] == ""
