"""What the joint model left of a review: as the contract writes it, as it is kept, and as the report says it."""

import json
import sys
from dataclasses import replace
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from msgspec import to_builtins

import invented_model

sys.path.insert(0, str(Path(__file__).parents[2] / "paper"))

import invented_review as told

from browline.documents.charts import AroundRows
from browline.documents.encoding import plain
from browline.documents.review import read_review, stored_parts
from browline.documents.supplement import Supplement
from browline.readings import FACTORS, Readings
from browline.services.review.contract import review_document
from browline.services.review.model_part import model_document, reads, site_rows
from browline.services.review.model_part.training import by_luck
from browline.services.review.report.document import Chart, Grid
from browline.variation.outcome import Outcome
from browline.variation.result import Counts, Drift, Effect, GroupSpread, Partner, Result, SiteEffect, Spread
from browline.variation.retakes.checks import Answer, Check, Sign
from browline.variation.retakes.estimate import AtNormal, PairEstimate, Sensitivity
from browline.variation.training.event_time import EventMonth, EventOutcome, EventTime, Trend
from browline.variation.training.measures import Measure
from browline.variation.training.verdict import Training, Verdict
from documents import report_from

SCHEMA = json.loads((Path(__file__).parents[3] / "docs" / "schema" / "review.json").read_text())
PAIRS = PairEstimate(
    640, -0.41, -0.45, -0.38, "", 37.3, AtNormal(-0.36, -0.41, -0.32, 0.87, 0.02), -0.5, 4.0,
    (Sensitivity(0.0, -0.41, -0.45, -0.38), Sensitivity(0.4, -0.53, -0.57, -0.5)),
)  # fmt: skip
ONE = Readings(
    time=np.zeros(1),
    hour=np.zeros(1),
    value=np.full(1, 37.0),
    codes={f: np.full(1, -1, np.int32) for f in FACTORS},
    names=dict.fromkeys(FACTORS, ()),
    row=np.ones(1, np.int64),
    source=np.ones(1, np.int32),
)
SITE = SiteEffect(
    "temporal", 3500, -0.29, -0.35, -0.24, 0.26, PAIRS, True, 0.87, 0.84, 0.91, -0.15,
    (Check(Sign.DISAGREE, Answer.SEEN, 640, -0.07, -3.4),),
)  # fmt: skip
MEASURES = (
    Measure("spread-between-people", -0.05, -0.09, -0.01, "°C", 0.01, 0.02, "It was smaller."),
    Measure("spread-between-readings", None, None, None, "%", None, None, "Too few to tell."),
)
TRAINING = Training(
    Verdict.AS_HOPED,
    0.14,
    0.07,
    0.21,
    "people not yet signed off",
    14,
    120,
    None,
    MEASURES,
    "As hoped.",
    ("Why.",),
)
MONTHS = EventTime(
    EventOutcome.DRAWN, (EventMonth(-1, False, 50, 12, 0.0, 0.0, 0.0),), Trend(0.01, -0.02, 0.04, 0.5)
)


def effect(**more):
    given = {"factor": "instrument", "code": 0, "name": "FS-07", "n": 1234, "offset_c": -0.42, "low_c": -0.55,
             "high_c": -0.3, "sd_c": 0.06, "data_share": 0.9, "chance": 0.97, "typical_c": -0.2,
             "comparator": "the others"}  # fmt: skip
    return Effect(**(given | more))


def fitted(**more):
    person = Partner("person", "8812", 0.9, -0.4, 0.1)
    drift = Drift(-0.05, -0.06, -0.04, 18.0, 0.9)
    given = {
        "outcome": Outcome.CONVERGED,
        "counts": Counts(5000, 0, 0, 300, 1, 40, 14),
        "reference_site": "bladder",
        "sites": (SiteEffect("bladder", 900, 0.0, 0.0, 0.0, 0.08, None), SITE),
        "spread": Spread(0.27, 0.43, 28.0, 0.16, 0.04, 0.03, 0.25, 0.1, 0.02, (GroupSpread("ward", 0.27, 0.43, 28.0),)),
        "instruments": (effect(drift=drift, confounded_with=(person,)),),
        "wards": (), "people": (), "fixed": {}, "criterion": 0.0, "passes": 9, "dropped": (),
        "training": (TRAINING, MONTHS),
    }  # fmt: skip
    return Result(**(given | more))


def document(result, readings=ONE):
    limits = ("The whole fleet may be off.",)
    return stored_parts(review_document(readings, result, [], limits, Supplement(), people=False))[0]


def test_slopes_drift_and_training_stand_where_the_contract_wants_them():
    made = document(fitted())
    jsonschema.validate(made, SCHEMA)
    site, instrument, training = made["sites"][1], made["instruments"][0], made["training"]
    assert [site[k] for k in ("slope", "slope_low", "slope_high")] == [0.87, 0.84, 0.91]
    assert [instrument[k] for k in ("drift_c_per_day", "drift_low", "drift_high")] == [-0.05, -0.06, -0.04]
    assert [training[k] for k in ("verdict", "effect_c", "low_c", "high_c")] == [
        "changed-as-hoped",
        0.14,
        0.07,
        0.21,
    ]
    assert training["measures"][1] == {
        "measure": "spread-between-readings", "effect": None, "low": None, "high": None, "unit": "%"
    }  # fmt: skip


def test_quick_pairs_stand_at_37_where_they_can_be_moved_there():
    assert document(fitted())["sites"][1]["pairs"] == {
        "n": 640,
        "offset_c": -0.36,
        "low_c": -0.41,
        "high_c": -0.32,
    }


def test_without_sign_offs_the_verdict_is_that_charts_cannot_tell():
    charted = replace(ONE, codes={f: np.zeros(1, np.int32) for f in FACTORS})
    made = document(fitted(training=None), charted)
    jsonschema.validate(made, SCHEMA)
    assert made["training"]["verdict"] == "cannot-tell"
    assert "who was signed off when" in made["training"]["sentence"]


def test_what_is_kept_survives_json_and_names_no_person():
    kept = plain(model_document(fitted()))
    assert json.loads(json.dumps(kept)) == kept
    assert "8812" not in json.dumps(kept)
    assert kept["sites"][1]["uncharted"][1]["offset_c"] == -0.53
    assert kept["groups"] == [
        {"group": "ward", "patient_sd_c": 0.27, "course_sd_c": 0.43, "course_hours": 28.0}
    ]
    assert kept["training"]["around"]["trend"]["sentence"] == MONTHS.trend.sentence


def test_what_is_kept_is_what_the_invented_reviews_of_other_tests_hold():
    kept, invented = plain(model_document(fitted())), invented_model.model()
    assert kept.keys() == invented.keys()
    assert kept["sites"][1].keys() == invented["sites"][1].keys()
    assert kept["instruments"]["FS-07"].keys() == invented["instruments"]["FS-07"].keys()
    assert kept["training"].keys() == invented["training"].keys()
    assert kept["training"]["around"].keys() == invented["training"]["around"].keys()


def test_nothing_fitted_keeps_nothing():
    assert model_document(None) is None


def test_a_drift_in_fahrenheit_turns_by_its_factor():
    row = {
        "instrument": "FS-07",
        "n": 1234,
        "offset_c": -0.42,
        "drift_c_per_day": -0.05,
        "drift_low": -0.06,
        "drift_high": -0.04,
    }
    said = reads(read_review({"instruments": [row]}, {"model": invented_model.model()}), "FS-07", "F")
    assert said.drift == "sinks 1.62 °F in 18 days"  # 0.05 · 18 · 1.8
    assert said.drift_interval == "−1.94 to −1.30 °F"


def test_two_ways_that_agree_are_not_marked():
    near = invented_model.sites()
    near[1]["pairs"]["offset_c"] = -0.335  # 0.045 apart
    result = {"sites": near, "reference_site": "bladder"}
    assert not any(row.differ for row in site_rows(read_review(result), "C"))


@pytest.mark.parametrize(("p", "said"), [(0.34, "about once in 3 reviews"), (1.0, "often"), (None, "")])
def test_a_chance_by_luck_is_said_as_a_frequency(p, said):
    assert by_luck(p) == said


def everything(part):
    if isinstance(part, str):
        return part + "\n"
    if isinstance(part, dict):
        return "".join(everything(p) for p in part.values())
    return "".join(everything(p) for p in part) if isinstance(part, list | tuple) else ""


@pytest.fixture(scope="module")
def report():
    result = {**told.result(), "reference_site": "bladder", "sites": invented_model.sites(),
              "training": invented_model.training()}  # fmt: skip
    row = next(i for i in result["instruments"] if i["instrument"] == "FS-07")
    row |= {"drift_c_per_day": -0.05, "drift_low": -0.06, "drift_high": -0.04}
    return report_from(
        result, {**told.supplement(), "model": invented_model.model()}, told.findings(), time=told.MADE
    )


def section(report, title):
    return next(s for s in report.sections if s.title == title)


def test_the_report_gives_sites_slope_pairs_and_what_moves_them(report):
    said = everything(to_builtins(section(report, "Sites of measurement")))
    for each in (
        "0.84 to 0.91",
        "taken as one for one",
        "differ",
        "40 in 100 uncharted",
        "Plan pairs taken",
        "37.1 °C",
    ):
        assert each in said, each


def test_the_report_gives_drift_with_its_interval_and_comparator(report):
    said = everything(to_builtins(section(report, "Change between cleanings of the lens")))
    for each in (
        "FS-07",
        "sinks 0.90 °C in 18 days",
        "−1.08 to −0.72 °C",
        "itself on the day its lens was cleaned",
    ):
        assert each in said, each


def test_the_report_names_what_an_instrument_cannot_be_told_from(report):
    said = everything(to_builtins(section(report, "Instrument FS-07")))
    assert "It cannot be told from ward Larch" in said
    assert "a typical one only −0.20 °C" in said


def test_the_half_page_on_training_begins_with_the_verdict(report):
    page = section(report, "Did training work?")
    assert page.blocks[0].text == "Practice changed as hoped."
    said = everything(to_builtins(page))
    for each in (
        "+0.07 to +0.21 °C",
        "people not yet signed off",
        "not a random sample",
        "about once in 50 reviews",
    ):
        assert each in said, each
    assert [type(b.rows) for b in page.blocks if isinstance(b, Chart)] == [AroundRows]


def test_spreads_are_given_by_care_and_said_to_have_no_interval(report):
    page = section(report, "How this was worked out")
    said = everything(to_builtins(page))
    assert "given without an interval" in said
    assert "half forgotten after 19 hours" in said  # 28 · ln 2 = 19.4
    grid = next(b for b in page.blocks if isinstance(b, Grid) and b.caption == "The same by care of the stay")
    assert grid.rows[1] == ("intensive", "0.40", "0.60", "14")  # 20 · ln 2 = 13.9
