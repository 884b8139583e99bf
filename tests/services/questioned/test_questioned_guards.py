"""The guards of the desk: old readings, patients of whom no chance is told, both lines, none, and the cold newborn."""

import json

import pytest

from browline.documents.recheck import recheck_contract
from browline.questioned.explain import NO_LINE
from browline.questioned.withheld import CANNOT_ARGUE
from browline.services.questioned import at_bedside
from browline.services.questioned.desk import answer, desk_without_book
from browline.services.questioned.document import recheck_document
from browline.services.questioned.guards import COLD_C, INFANT_FEVER_C, SPEAKS_MINUTES

NULL_CORE = dict.fromkeys(("mean_c", "low_c", "high_c", "fever", "low"))
AT_RISK = {
    "under-3-months": {"age": "4-weeks-3-months"},
    "neutropenic": {"flags": ["neutropenia"]},
    "immune-suppressed": {"flags": ["immune-suppressed"]},
    "worsening": {"answers": {"worsening": "yes"}},
}


def read(value, site="oral", minutes_ago=2.0):
    return {"value": value, "site": site, "minutes_ago": minutes_ago, "unit": "C"}


def told(*readings, **case):
    """The answer as JSON, where there is no book."""
    answered = answer({"readings": list(readings), **case}, desk_without_book())
    return recheck_contract(recheck_document([answered]))["cases"][0]["answer"]


def every_number(answer):
    """Everything the model could have said of chances, bands and sizes."""
    cores = [answer["core"], *(reading["core"] for reading in answer["readings"])]
    said = [value for core in cores for value in core.values()] + [answer["loss"], answer["left_out"]]
    said += [reading[name] for reading in answer["readings"] for name in ("by_c", "misled")]
    steps = ("drop", "settles", "fever_from_c", "no_fever_to_c")
    return said + [step[name] for step in answer["steps"] for name in steps] + answer["stories"]


def test_an_old_reading_is_shown_and_not_used():
    answer, alone = told(read(39.0, minutes_ago=61), read(36.8)), told(read(36.8))
    assert answer["core"] == alone["core"] and answer["safer"] is None
    old, new = answer["readings"]
    assert (old["value_c"], old["used"], old["core"], old["misled"]) == (39.0, False, NULL_CORE, None)
    assert new["used"] and new["sentence"]
    assert answer["not_used"].startswith("Not used: 39.0 °C (102.2 °F), mouth, 61 minutes ago.")
    assert "If a line was crossed then, escalate now." in answer["not_used"]
    assert "39.0" not in answer["act_on"] and alone["not_used"] == ""


def test_a_reading_of_an_hour_still_speaks():
    assert told(read(39.0, minutes_ago=SPEAKS_MINUTES))["core"]["fever"] > 0.5


def test_places_are_those_of_the_question_where_some_are_not_used():
    answer = told(read(36.0, minutes_ago=600), read(36.6, "temporal"), read(38.6), read(36.7, "temporal", 1))
    assert answer["act_on_readings"] == [3] and answer["safer"] == 3
    assert [reading["used"] for reading in answer["readings"]] == [False, True, True, True]
    shared = [
        story["readings"] for story in answer["stories"] if story["site"] == "temporal" and story["shared"]
    ]
    assert shared and all(set(places) <= {2, 4} for places in shared)


@pytest.mark.parametrize("value", [36.7, 38.6, 34.2])
def test_where_all_are_old_nothing_is_weighed_and_it_is_to_be_read_again(value):
    answer = told(read(value, minutes_ago=120))
    assert answer["withheld"]["because"] == ["nothing-recent"]
    assert set(map(str, every_number(answer))) == {"None"} and answer["outcome"] == "not-settled"
    assert answer["act_on"].startswith("Read again now") and str(value) not in answer["act_on"]
    assert (answer["act_as"], answer["safer"]) == ({38.6: "fever", 34.2: "low"}.get(value), None)
    crossed = "A line was crossed when it was last read" in answer["act_on"]
    assert crossed == (value != 36.7)


@pytest.mark.parametrize("because", AT_RISK)
@pytest.mark.parametrize("value", [36.9, 38.6])
def test_of_a_patient_at_risk_no_chance_is_told(because, value):
    answer = told(read(value), read(36.8, "temporal"), **AT_RISK[because])
    assert answer["withheld"]["because"] == [because] and answer["withheld"]["says"]
    assert set(map(str, every_number(answer))) == {"None"} and answer["outcome"] == "not-settled"
    assert answer["says"] == CANNOT_ARGUE and answer["emergencies"]
    assert "point to a core" not in json.dumps(answer) and "speaks" not in json.dumps(answer["steps"])
    assert answer["act_as"] == ("fever" if value == 38.6 else None)
    assert (NO_LINE in answer["act_on"]) == (value == 36.9)


def test_of_any_other_patient_it_is_told():
    answer = told(
        read(36.9), read(36.8, "temporal"), answers={"worsening": "no"}, flags=["no-rectal"], age="65-up"
    )
    assert answer["withheld"] is None and answer["core"]["fever"] < 0.2 and answer["stories"]


def test_what_must_not_be_done_still_stands_last_with_its_reason():
    answer = told(read(36.9), flags=["neutropenia"], core_probe="bladder")
    assert answer["steps"][0]["kind"] == "core-probe"
    assert answer["steps"][-1]["site"] == "rectal" and "Never rectal" in answer["steps"][-1]["barred"]


def test_nobody_at_risk_is_told_to_wait_an_hour_for_a_reading():
    answer = told(read(37.1, "rectal"), answers={"worsening": "yes"})
    assert "repeat-later" not in {step["kind"] for step in answer["steps"]}


def test_no_line_crossed_no_number_is_named():
    answer = told(read(37.2, "temporal"), read(36.8))
    assert answer["act_on"].startswith(
        "No reading crosses a line, high or low. Go by the patient; worried, escalate now."
    )
    assert (answer["safer"], answer["act_on_readings"]) == (None, [])


def test_both_lines_crossed_both_are_named():
    answer = told(read(34.7, "axillary"), read(36.9, "temporal"), read(38.2))
    assert (
        "act on both: 34.7 °C (94.5 °F), armpit" in answer["act_on"]
        and "38.2 °C (100.8 °F)" in answer["act_on"]
    )
    assert (answer["act_on_readings"], answer["safer"]) == ([1, 3], None)
    assert told(read(34.7), read(38.2), answers={"worsening": "yes"})["act_as"] == "both"


@pytest.mark.parametrize(("value", "act"), [(38.0, "fever"), (35.0, "low")])
def test_a_line_that_is_met_is_crossed(value, act):
    """NEWS2 scores 35.0 °C and less with 3 points; guidance speaks of 38.0 °C or more."""
    assert told(read(value), answers={"worsening": "yes"})["act_as"] == act


def test_a_cold_newborn_is_an_emergency_and_is_not_explained_away():
    """WHO, newborn, armpit: normal from 36.5 °C (read in a secondary source; SEEN-2nd, jim.bmj.com table 2)."""
    assert COLD_C["under-4-weeks"] == 36.5
    answer = told(read(35.8, "axillary", 30), read(36.0, "axillary"), age="under-4-weeks")
    cold = answer["emergencies"][-1]
    assert cold.startswith("Cold for this age: 35.8 °C (96.4 °F), armpit") and "escalate at once" in cold
    assert "36.5 °C (97.7 °F)" in cold and "36.0 °C (96.8 °F), armpit, 2 minutes ago" in cold
    assert (answer["act_as"], answer["act_on_readings"], answer["stories"]) == ("low", [1], [])
    words = json.dumps(answer, ensure_ascii=False)
    assert "read low" not in words and "reads otherwise" not in words


@pytest.mark.parametrize(
    ("age", "value", "cold"),
    [("under-4-weeks", 36.4, True), ("under-4-weeks", 36.5, False), ("4-weeks-3-months", 35.9, True),
     ("4-weeks-3-months", 36.0, False), ("3-12-months", 35.9, False)],
)  # fmt: skip
def test_cold_goes_by_age(age, value, cold):
    """Under 4 weeks by WHO as above; to 3 months 36.0 °C: own judgement, no source."""
    answer = told(read(value, "axillary"), age=age)
    assert any("Cold for this age" in said for said in answer["emergencies"]) == cold
    assert (answer["act_as"] == "low") == cold


def test_a_wards_higher_fever_line_does_not_move_that_of_the_youngest():
    """NICE NG143: 38.0 °C or more under 3 months is high risk."""
    assert INFANT_FEVER_C == 38.0
    answer = told(read(38.1, "axillary"), age="4-weeks-3-months", fever_c=38.5)
    assert (answer["fever_c"], answer["act_as"]) == (38.0, "fever")
    assert told(read(37.9), age="4-weeks-3-months", fever_c=37.8)["act_as"] == "fever"


def test_immune_suppression_bars_no_site_and_is_said_before_any_number():
    answer = told(read(36.9), flags=["immune-suppressed"])
    assert "Immune-suppressed: escalate now, whatever the number." in answer["emergencies"]
    assert not any(step["barred"] for step in answer["steps"])


def test_no_answer_says_that_somebody_could_turn_it_on_while_nobody_can():
    answered = answer({"readings": [read(37.4)]}, desk_without_book())
    assert at_bedside.HELD_OFF and "turned it on" not in " ".join(answered.cautions)
    assert "At a bedside the approved pathway holds." in answered.cautions[-1]
