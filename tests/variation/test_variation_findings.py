"""Findings in words: planted faults are found, honest subjects are not, and every sentence says what it must."""

from dataclasses import replace

import numpy as np
import pytest
from invented_readings import START, Truth, readings

from browline.findings import BY_MODEL, KINDS, finding_kind
from browline.readings import Readings
from browline.variation import Outcome, Problem, findings, limits, solve
from browline.variation.causes import WEIGHTS, Signs, causes
from browline.variation.effects.contrasts import against, middle
from browline.variation.explain import describe
from browline.variation.levels import levels
from browline.variation.limitations import LOG_IN, WHOLE_FLEET
from browline.variation.outcome import Outcome as Closed
from browline.variation.result import chance_beyond
from browline.variation.tables import COMPARATOR

PLANTED = Truth(offsets={3: -0.45, 7: 0.5}, ward_offsets={2: 0.5})


def cast(n=10_000, seed=13, truth=PLANTED, **changes):
    return readings(
        n, **{"instruments": 24, "people": 40, "wards": 8, "seed": seed, "truth": truth, **changes}
    )


@pytest.fixture(scope="module")
def result():
    return solve(Problem.from_readings(cast()))


@pytest.fixture(scope="module")
def found(result):
    return findings(result)


def test_what_was_planted_is_found_and_nothing_else(found):
    assert {f.subject_id for f in found} == {"TT-003", "TT-007", "Ward 3"}
    assert {f.kind for f in found} == {"instrument-offset", "ward-offset"}


def test_the_surest_come_first(found):
    chances = [f.probability for f in found]
    assert chances == sorted(chances, reverse=True)


def test_estimates_hold_the_truth(result):
    low = result.instruments[3]
    others = np.mean([e.offset_c for e in result.instruments if e.code != 3])
    assert low.offset_c == pytest.approx(-0.45 - others, abs=0.1)
    assert [s.offset_c for s in result.sites] == pytest.approx([0.0, 0.2, -0.4], abs=0.03)
    assert result.spread.patient_sd_c == pytest.approx(0.45, abs=0.03)
    assert result.spread.course_sd_c == pytest.approx(0.20, abs=0.02)
    assert result.spread.reading_sd_c == pytest.approx(0.20, abs=0.02)


def test_a_sites_own_spread(result):
    assert [s.sd_c for s in result.sites] == pytest.approx([0.2, 0.2, 0.2], abs=0.02)


def test_a_site_with_more_spread_shows_it():
    r = cast()
    noise = np.random.default_rng(1).normal(0, 0.4, len(r)) * (r.codes["site"] == 2)
    got = solve(Problem.from_readings(Readings(r.time, r.hour, r.value + noise, r.codes, r.names, r.row)))
    spreads = {s.site: s.sd_c for s in got.sites}
    assert spreads["axillary"] > 0.35 > 1.2 * spreads["temporal"]


def test_an_instrument_sentence(found):
    got = next(f for f in found if f.subject_id == "TT-003")
    assert got.sentence.startswith("Instrument TT-003 reads 0.4")
    for part in (f"°C low against {COMPARATOR['instrument']} since", "95 % interval", f"{got.n} readings"):
        assert part in got.sentence
    assert got.comparator == COMPARATOR["instrument"]
    assert got.low < got.effect < got.high < -0.3


def test_never_remove_without_replacing(found):
    for f in found:
        if f.subject_type == "instrument":
            assert f.action.startswith("Bring a spare, tag this instrument") and "check" in f.action
            assert "remove" not in f.action


def test_causes_sum_to_one(found):
    for f in found:
        assert sum(c.probability for c in f.causes) == pytest.approx(1.0)
        assert all(c.tell_apart for c in f.causes)


@pytest.mark.parametrize(
    "seen,first",
    [
        ({"low", "later", "rose"}, "dirty lens"),
        ({"low", "start", "other mode"}, "set to another mode or build than the rest"),
        ({"low", "later", "did not rise"}, "lens damage or a fault in the instrument"),
        ({"high", "start"}, "set to another mode or build than the rest"),
    ],
)
def test_signs_point_where_the_trade_says(seen, first):
    """Common practice, no source: which sign points where."""
    assert causes("instrument-offset", Signs(frozenset(seen)))[0].cause == first


def test_every_kind_is_known():
    assert set(WEIGHTS) == {k for k in BY_MODEL if finding_kind(k).causes} < set(KINDS)
    assert set(BY_MODEL) - set(WEIGHTS) == {"cannot-separate"}


@pytest.mark.parametrize("kind", WEIGHTS)
def test_every_cause_of_the_catalogue_has_its_weight_and_no_other(kind):
    assert set(WEIGHTS[kind]) == set(finding_kind(kind).causes)


def test_people_only_when_asked():
    result = solve(Problem.from_readings(shifted_person()))
    assert {f.subject_type for f in findings(result)} == set()
    got = findings(result, people=True)
    assert [(f.kind, f.subject_id) for f in got] == [("technique-support", "N005")]
    assert got[0].sentence.startswith("Offer N005 an observed return demonstration")
    assert got[0].action == "Offer an observed return demonstration."
    assert LOG_IN in limits(result, people=True) and LOG_IN not in limits(result)


def shifted_person():
    r = cast(truth=Truth())
    low = -0.5 * (r.codes["person"] == 5)
    return Readings(r.time, r.hour, r.value + low, r.codes, r.names, r.row)


def one_instrument_ward(person=None) -> Readings:
    """Instrument 0 is used on ward 1 only, ward 1 uses no other, and both together read 0.5 °C low."""
    r = cast(truth=Truth(instrument=0.1, ward=0.1))
    ward = r.codes["ward"]
    instrument = np.where(ward == 0, 0, np.maximum(r.codes["instrument"], 1)).astype(np.int32)
    codes = {**r.codes, "instrument": instrument}
    return Readings(r.time, r.hour, r.value - 0.5 * (ward == 0), codes, r.names, r.row)


def test_what_cannot_be_separated_is_one_finding():
    result = solve(Problem.from_readings(one_instrument_ward()))
    got = findings(result)
    assert [(f.kind, f.subject_id) for f in got] == [("cannot-separate", "TT-000")]
    assert got[0].sentence.startswith("Instrument TT-000 or Ward 1: cannot tell which.")
    assert "Swap instruments with another ward for a week" in got[0].action
    partner = result.instruments[0].confounded_with[0]
    assert (partner.factor, partner.name) == ("ward", "Ward 1")
    assert partner.correlation < -0.7
    assert partner.sum_sd_c < 0.5 * result.instruments[0].sd_c


def test_a_person_is_not_named_unless_people_were_asked_for():
    r = cast(truth=Truth(instrument=0.1, person=0.05))
    theirs = r.codes["instrument"] == 0
    person = np.where(theirs, 0, np.maximum(r.codes["person"], 1)).astype(np.int32)
    result = solve(
        Problem.from_readings(
            Readings(r.time, r.hour, r.value - 0.6 * theirs, {**r.codes, "person": person}, r.names, r.row)
        )
    )
    plain, asked = findings(result), findings(result, people=True)
    assert [f.kind for f in plain] == ["cannot-separate"]
    assert (
        "N000" not in plain[0].sentence + plain[0].comparator
        and "one person's way of reading" in plain[0].sentence
    )
    assert "N000" in asked[0].sentence
    assert len(asked) == 1


def test_a_lens_that_sinks_between_cleanings():
    r = cast(truth=Truth())
    cleaned = START + 24.0 * np.arange(0, 180, 14)
    days = (r.time - cleaned[np.searchsorted(cleaned, r.time, side="right") - 1]) / 24
    sinking = -0.08 * days * (r.codes["instrument"] == 4)
    sunk = Readings(r.time, r.hour, r.value + sinking, r.codes, r.names, r.row)
    result = solve(Problem.from_readings(sunk, cleanings={"TT-004": cleaned, "TT-005": cleaned}))
    dirty, clean = result.instruments[4], result.instruments[5]
    assert dirty.after_cleaning_c == pytest.approx(0.08 * 11, abs=3.5 * dirty.after_cleaning_sd_c)
    assert dirty.after_cleaning_c > 4 * dirty.after_cleaning_sd_c
    assert abs(clean.after_cleaning_c) < 3 * clean.after_cleaning_sd_c
    assert result.instruments[6].after_cleaning_c is None
    got = next(f for f in findings(result) if f.subject_id == "TT-004")
    assert got.causes[0].cause == "dirty lens"
    assert got.kind == "instrument-drift" and "TT-004 sinks by" in got.sentence
    assert "low" not in got.sentence, "sinks says the direction already"


def test_the_register_tells_a_mode():
    modes = {f"TT-{k:03d}": "core" for k in range(24)} | {"TT-003": "oral-equivalent"}
    result = solve(Problem.from_readings(cast(), modes=modes))
    assert result.instruments[3].mode_differs is True and result.instruments[4].mode_differs is False
    got = {f.subject_id: f.causes[0].cause for f in findings(result)}
    assert got["TT-003"] == "set to another mode or build than the rest"


def test_the_whole_fleet_may_be_off_is_always_said(result):
    for outcome in Outcome:
        assert WHOLE_FLEET in limits(replace(result, outcome=outcome))


def test_nothing_is_reported_from_a_fit_that_did_not_end_well(result):
    for outcome in (Outcome.NOT_IDENTIFIED, Outcome.STEPS, Outcome.TOO_FEW):
        unsettled = replace(result, outcome=outcome)
        assert findings(unsettled) == ()
        assert outcome.sentence in limits(unsettled)


def test_every_outcome_gives_advice():
    assert all(o.sentence.endswith(".") and ";" in o.sentence for o in Closed)


def test_a_small_fleet_is_told():
    result = solve(Problem.from_readings(cast(3000, instruments=4, truth=Truth())))
    assert any("The fleet has 4 instruments" in s for s in limits(result))


def at_tolerance(tolerance_c):
    return solve(Problem.from_readings(cast(6000)), tolerance_c=tolerance_c)


def test_the_tolerance_is_asked_of_the_solution_and_the_share_of_the_findings():
    """The same readings: more are beyond a narrow tolerance, none beyond a wide one, and offsets stay as they are."""
    narrow, usual, wide = at_tolerance(0.1), at_tolerance(0.3), at_tolerance(1.0)
    assert findings(wide) == ()
    assert len(findings(narrow)) > len(findings(usual))
    assert len(findings(narrow, false_share=0.3)) >= len(findings(narrow, false_share=0.1))
    for a, b in zip(narrow.instruments, wide.instruments, strict=True):
        assert a.offset_c == b.offset_c and a.chance >= b.chance
    assert all(f.probability >= 0.5 for f in findings(narrow, false_share=0.9))


def test_few_readings_of_one_instrument_are_too_few_to_tell():
    r = cast(truth=Truth(instrument=0.15))
    seen = np.cumsum(r.codes["instrument"] == 9)
    result = solve(Problem.from_readings(r.take((r.codes["instrument"] != 9) | (seen <= 3))))
    got = result.instruments[9]
    assert got.n == 3 and got.since is None
    assert describe(got) == "TT-009: too few readings to tell (3)."
    assert f"within 0.3 °C of {COMPARATOR['instrument']}" in describe(result.instruments[10])


@pytest.mark.parametrize("mean,sd,tolerance", [(0.2, 0.1, 0.3), (-0.5, 0.2, 0.3), (0.0, 0.3, 0.3)])
def test_chance_beyond_agrees_with_scipy(mean, sd, tolerance):
    from scipy.stats import norm

    expected = norm(mean, sd).sf(tolerance) + norm(mean, sd).cdf(-tolerance)
    assert chance_beyond(mean, sd, tolerance) == pytest.approx(expected, abs=1e-12)


def test_intervals_hold_the_truth_as_often_as_they_say():
    """Recovery: 8 invented hospitals of 15 instruments; 120 intervals, 95 % of them (114, sd 2.4) hold the truth."""
    hits = 0
    for seed in range(8):
        rng = np.random.default_rng(seed)
        fixed = rng.normal(0, 0.1, 15)
        truth = Truth(offsets=dict(enumerate(fixed)))
        got = solve(
            Problem.from_readings(readings(2000, instruments=15, people=20, wards=4, seed=seed, truth=truth))
        )
        contrast = (fixed - fixed.mean()) * 15 / 14
        hits += sum(e.low_c < contrast[e.code] < e.high_c for e in got.instruments)
    assert 107 <= hits <= 119


def test_faulty_instruments_do_not_move_what_the_sound_ones_are_compared_with():
    kind = levels(np.arange(10))
    u = np.array([0.02, -0.03, 0.01, 0.04, -0.02, 0.03, 0.0, -0.6, -0.5, -0.7])
    weights = middle(kind, u, np.full(10, 1e-4))
    assert (weights[7:] == 0).all() and (weights[:7] > 0).all()
    offset = against(kind, weights).contrasts(u)
    assert offset[:7] == pytest.approx(u[:7], abs=0.03)
    assert offset[9] == pytest.approx(-0.7 - u[:7].mean(), abs=1e-9)


def test_a_segment_gone_by_is_compared_but_is_no_yardstick():
    kind = levels(np.array([0, 0, 1, 2])).split(0, np.array([False, True, False, False]), began=5.0)
    weights = middle(kind, np.array([0.05, 0.0, 0.1, -0.1]), np.full(4, 1e-4))
    assert weights[0] == 0.0
    assert kind.latest.tolist() == [False, True, True, True]
    assert against(kind, np.ones(4)).contrasts(np.array([0.9, 0.0, 0.1, -0.1]))[0] == pytest.approx(0.85)
