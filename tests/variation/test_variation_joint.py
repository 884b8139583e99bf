"""Recovery by the whole model: slopes, care groups, drift between cleanings, doubt, and every way a fit can end."""

from dataclasses import replace

import numpy as np
import pytest
from invented_readings import START, Truth, readings, without

from browline.readings import CARES, AsCharted, Readings
from browline.variation import Outcome, Problem, solve
from browline.variation.days_since_cleaning import days_after_cleaning, since_cleaning
from browline.variation.fit import Likelihood
from browline.variation.fixed_effects import fixed
from browline.variation.identifiable import identifiable
from browline.variation.joint_model import factor_levels
from browline.variation.model import model
from browline.variation.optimise import optimise

CAST = {"instruments": 8, "people": 10, "wards": 3, "seed": 5}


def given(n=2000, **changes):
    return readings(n, **{**CAST, **changes})


def shifted(r: Readings, by) -> Readings:
    return replace(r, value=r.value + by)


def at_site(r: Readings, name: str):
    return r.codes["site"] == r.names["site"].index(name)


def squeezed(patient: float, n: int = 6000) -> Readings:
    """Oral readings rise by 0.7 where the patient rises by 1; patients differ by `patient`."""
    r = given(n, truth=Truth(patient=0.0, course=0.0, reading=0.15, instrument=0.02))
    own = np.random.default_rng(3).normal(0, patient, int(r.codes["stay"].max()) + 1)[r.codes["stay"]]
    return shifted(r, own * np.where(at_site(r, "oral"), 0.7, 1.0))


def test_a_slope_is_freed_only_where_shared_stays_span_enough():
    """Common practice, no source for 1.5 °C: ours. Narrow stays span 0.8 °C at the reference site."""
    assert identifiable(Problem.from_readings(squeezed(0.8))).slopes.tolist() == [1, 2]
    assert identifiable(Problem.from_readings(squeezed(0.02))).slopes.tolist() == []


def test_no_slope_is_freed_where_the_sites_share_no_stay():
    r = squeezed(0.8)
    apart = np.where(r.codes["stay"] % 2 == 0, 0, np.maximum(r.codes["site"], 1)).astype(np.int32)
    assert (
        identifiable(Problem.from_readings(replace(r, codes={**r.codes, "site": apart}))).slopes.tolist()
        == []
    )


def test_a_planted_slope_is_recovered_and_an_honest_one_is_one():
    sites = {s.site: s for s in solve(Problem.from_readings(squeezed(0.8))).sites}
    assert sites["oral"].slope == pytest.approx(0.7, abs=0.03)
    assert sites["oral"].slope_high < 1 < sites["axillary"].slope_high
    assert sites["axillary"].slope == pytest.approx(1.0, abs=0.05)


def cared(n=6000, few=None) -> Readings:
    """Two kinds of care; the second's patients are twice as far apart. `few`: stays of the second kind."""
    r = given(n)
    stay = r.codes["stay"]
    second = stay % 3 == 0 if few is None else stay < few
    wider = np.random.default_rng(8).normal(0, 0.8, int(stay.max()) + 1)[stay]
    care = np.where(second, 1, 0).astype(np.int8)
    nan, no = np.full(n, np.nan, np.float32), np.zeros(n, bool)
    return replace(shifted(r, wider * second), charted=AsCharted(r.value, no, no, nan, nan, care))


def test_spreads_differ_by_care_group():
    result = solve(Problem.from_readings(cared()))
    by_name = {made.group: made.patient_sd_c for made in result.spread.groups}
    assert set(by_name) == {CARES[0], CARES[1]}
    assert by_name[CARES[0]] == pytest.approx(0.45, abs=0.08)
    assert by_name[CARES[1]] == pytest.approx(np.hypot(0.45, 0.8), abs=0.12)


def test_a_thin_care_group_goes_with_the_largest():
    assert identifiable(Problem.from_readings(cared(few=20))).groups == ("",)


CLEANED = START + 24.0 * np.arange(0, 180, 21)


def sinking(per_day=-0.05, n=8000):
    """Instrument 4 sinks; all but instrument 5 have their cleanings written down."""
    r = given(n, truth=Truth(instrument=0.05))
    days = (r.time - CLEANED[np.searchsorted(CLEANED, r.time, side="right") - 1]) / 24
    return shifted(r, per_day * days * (r.codes["instrument"] == 4))


def test_a_planted_drift_is_recovered():
    log = {f"TT-{k:03d}": CLEANED for k in range(8) if k != 5}
    got = {e.name: e for e in solve(Problem.from_readings(sinking(), cleanings=log)).instruments}
    drift = got["TT-004"].drift
    assert drift.per_day_c == pytest.approx(-0.05, abs=0.01)
    assert drift.low_c < drift.per_day_c < drift.high_c < 0
    assert drift.days == pytest.approx(21, abs=2)
    assert drift.chance > 0.95
    assert got["TT-003"].drift.low_c < 0 < got["TT-003"].drift.high_c
    assert got["TT-003"].drift.chance < 0.1
    assert got["TT-005"].drift is None


def test_days_before_the_first_known_cleaning_count_as_the_mean():
    r = given(3000)
    log = {f"TT-{k:03d}": CLEANED[3:] for k in range(8)}
    problem = Problem.from_readings(r, cleanings=log)
    soil, before = since_cleaning(problem), problem.readings.time < CLEANED[3]
    assert before.sum() > 300
    assert np.isnan(days_after_cleaning(problem)[before]).all()
    assert (soil.days[before] == 0.0).all() and not soil.known[before].any()
    assert soil.mean == pytest.approx(days_after_cleaning(problem)[~before].mean())
    assert soil.days[~before].mean() == pytest.approx(0.0, abs=1e-12)
    drift = fixed(problem, soil).x[:, fixed(problem, soil).meaning.index(("drift", ""))]
    assert (drift[before] == 0.0).all()


def test_too_few_known_cleanings_tell_no_slope():
    assert since_cleaning(Problem.from_readings(given(3000), cleanings={"TT-001": CLEANED})) is None
    assert since_cleaning(Problem.from_readings(given(3000))) is None


def test_a_reading_unlikely_to_have_been_measured_hardly_counts():
    """Half of one instrument's readings copied 1 °C too high: said to be copies, they move its offset little."""
    r = given(4000, truth=Truth(instrument=0.0))
    rng = np.random.default_rng(2)
    odd = (r.codes["instrument"] == 2) & (rng.random(len(r)) < 0.5)
    wrong = shifted(r, 1.0 * odd)
    believed, doubted, dropped = (
        solve(Problem.from_readings(wrong)).instruments[2],
        solve(Problem.from_readings(wrong, measured=np.where(odd, 1e-9, 1.0))).instruments[2],
        solve(Problem.from_readings(wrong.take(~odd))).instruments[2],
    )
    assert believed.offset_c > 0.3
    assert doubted.offset_c == pytest.approx(dropped.offset_c, abs=0.07)


def test_a_tiny_chance_is_exactly_as_dropping_the_reading(monkeypatch):
    """With the floor of the chance taken away, the effects are those without the readings."""
    monkeypatch.setattr("browline.variation.problem.LEAST_CHANCE", 1e-12)
    r = given(1500)
    odd = np.random.default_rng(2).random(len(r)) < 0.1
    wrong = shifted(r, 1.0 * odd)
    at = []
    for problem in (
        Problem.from_readings(wrong, measured=np.where(odd, 1e-12, 1.0)),
        Problem.from_readings(wrong.take(~odd)),
    ):
        made = model(problem, {name: kind.codes for name, kind in factor_levels(problem).items()})
        point = Likelihood(made.columns, made.parameters, made.random.roots()).evaluate(made.start())
        at.append(point.solution)
    assert at[0].u == pytest.approx(at[1].u, abs=1e-6)
    q = len(at[0].u)  # The calendar's columns are centred over all readings, so the constant differs.
    assert at[0].covariance[:q, :q] == pytest.approx(at[1].covariance[:q, :q], abs=1e-8)


def test_every_outcome_is_reached():
    """Too few, not identified, on the boundary and converged by data; out of steps where one step is allowed."""
    r = given(3000, truth=Truth(instrument=0.3, person=0.3, ward=0.3))
    plain = without(r, "stay", "patient", "instrument", "person", "ward")
    reached = {
        solve(Problem.from_readings(r.take(np.arange(10)))).outcome,
        solve(Problem.from_readings(replace(r, value=np.full(len(r), 37.0)))).outcome,
        solve(Problem.from_readings(given(600, truth=Truth(instrument=0.0, person=0.0, ward=0.0)))).outcome,
        solve(Problem.from_readings(plain)).outcome,
    }
    problem = Problem.from_readings(r)
    made = model(problem, {name: kind.codes for name, kind in factor_levels(problem).items()})
    surface = Likelihood(made.columns, made.parameters, made.random.roots())
    reached.add(optimise(surface, made.start(), steps=1).outcome)
    assert reached == set(Outcome)


def one(r: Readings, factor: str) -> Readings:
    return replace(r, codes={**r.codes, factor: np.zeros(len(r), np.int32)})


ODD = {
    "one site": lambda r: one(r, "site"),
    "one patient": lambda r: one(one(r, "stay"), "patient"),
    "all values equal": lambda r: replace(r, value=np.full(len(r), 36.6)),
    "values equal at each site": lambda r: replace(r, value=36.6 + 0.2 * r.codes["site"]),
    "no instrument": lambda r: without(r, "instrument"),
    "no person": lambda r: without(r, "person"),
    "no ward": lambda r: without(r, "ward"),
    "no site": lambda r: without(r, "site"),
    "one ward": lambda r: one(r, "ward"),
    "all at one time": lambda r: replace(r, time=np.full(len(r), START), hour=np.zeros(len(r))),
    "stays of one reading": lambda r: replace(
        r, codes={**r.codes, "stay": np.arange(len(r), dtype=np.int32)}
    ),
    "one value far out": lambda r: replace(r, value=np.where(np.arange(len(r)) == 3, 43.9, r.value)),
    "every chance 0": lambda r: r,
    "years apart": lambda r: replace(r, time=START + (r.time - START) * 20),
}


@pytest.mark.parametrize("n", [25, 300, 2000])
@pytest.mark.parametrize("which", ODD)
def test_solve_never_raises_on_odd_input(which, n):
    r = ODD[which](given(n))
    measured = np.zeros(n) if which == "every chance 0" else None
    result = solve(Problem.from_readings(r, measured=measured))
    assert result.outcome in Outcome
    if result.outcome.usable:
        numbers = [x for e in result.instruments for x in (e.offset_c, e.low_c, e.high_c, e.chance)]
        assert np.isfinite([*numbers, result.criterion]).all()
