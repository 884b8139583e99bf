"""Identifiers, empty columns, sites and things are not taken for people's temperatures."""

import pytest

from browline.errors import InputRefused
from browline.intake import (
    Keep,
    Mapping,
    fhir_rows,
    is_temperature_word,
    profile,
    propose,
    recognise,
)

TIMES = ["2026-03-07 10:05", "2026-03-07 14:10", "2026-03-08 02:20"]


def mapped(table, kind="readings"):
    return propose(kind, [profile(h, cells) for h, cells in table.items()]).mapping


@pytest.mark.parametrize(
    "text",
    ["Temp", "TEMPC", "temps", "Temperatures", "Temperatur", "température", "temperatura", "BodyTemp", "vs_temp",
     "Temp (C)", "8310-5", "BT", "Temperature - Oral"],
)  # fmt: skip
def test_words_of_body_temperature_stay_so(text):
    assert is_temperature_word(text)


@pytest.mark.parametrize("text", ["Temporal", "Temporal artery", "temporary", "template", "Btw"])
def test_a_word_that_only_begins_so_is_none(text):
    assert not is_temperature_word(text)


@pytest.mark.parametrize(
    "text",
    ["Inspired gas temperature", "Airway temp", "Ventilator temp", "Humidifier Temp", "Warming blanket temp",
     "Limb temperature", "Temp feel", "Room temperature", "Temp of room", "pCO2 (temp corrected)", "Water temp",
     "Overhead heater temp", "Heater temp", "HFNC temperature", "Humidity chamber temp", "Oxygen temp", "Toe temp",
     "Foot temperature"],
)  # fmt: skip
def test_things_rooms_and_how_a_limb_feels_are_no_body_temperature(text):
    assert not is_temperature_word(text)


def test_a_column_of_sites_is_never_the_row_filter():
    table = {
        "Obs time": TIMES * 2,
        "Temp": ["36.6", "37.4", "38.1"] * 2,
        "Vital name": ["Temporal", "Oral", "Temporal", "Axilla", "Oral", "Temporal"],
    }
    assert mapped(table).row_filter is None and mapped(table).columns["site"] == "Vital name"


def test_the_filter_does_not_stand_when_its_column_is_mapped_as_the_site():
    columns = {"time": "Obs time", "value": "Temp", "site": "Vital"}
    keep = Keep("Vital", ("Temporal",))
    assert Mapping("readings", columns, keep=keep).row_filter is None
    without_site = {"time": "Obs time", "value": "Temp"}
    assert Mapping("readings", without_site, keep=keep).row_filter == keep


@pytest.mark.parametrize("heading", ["measurement_id", "Reading ID", "obs value id", "resultid"])
def test_a_heading_ending_in_id_is_never_the_value(heading):
    numbers = ["36.6", "37.4", "38.1"]
    assert "value" not in mapped({"Obs time": TIMES, heading: numbers}).columns
    assert mapped({"Obs time": TIMES, heading: numbers, "T": numbers}).columns["value"] == "T"


def test_an_empty_column_loses_to_a_filled_one():
    table = {
        "Value": ["", "", ""],
        "Temperature taken": ["36", "37", "38"],
        "Time": ["", "", ""],
        "Charted on the": TIMES,
        "Ward": ["", "", ""],
        "Unit name": ["Larch", "Oak", "Oak"],
    }
    assert mapped(table).columns == {
        "time": "Charted on the",
        "value": "Temperature taken",
        "ward": "Unit name",
    }


def test_an_empty_column_stays_where_the_filled_one_only_resembles_it():
    table = {"Time": TIMES, "Temp": ["36.6"] * 3, "Ward": [""] * 3, "Ward kitchen extension": ["11"] * 3}
    assert mapped(table).columns.get("ward") == "Ward"


@pytest.mark.parametrize("heading", ["Room Temp", "Gas temperature", "Humidifier temp (C)", "Fridge temp"])
def test_a_heading_of_a_thing_is_not_the_value(heading):
    assert "value" not in mapped({"Obs time": TIMES, heading: ["36.6", "37.4", "38.1"]}).columns


def test_a_reference_bath_stays_a_reference():
    table = {"Asset": ["A1"], "Test date": ["14/03/2026"], "Bath temp": ["37.00"], "Displayed": ["36.8"]}
    assert mapped(table, "checks").columns["reference"] == "Bath temp"


def test_temperatures_without_a_time_are_no_register_of_instruments():
    table = {
        "Patient ID": ["70008319", "70001532", "70009525"],
        "Minutes from admission": ["1450", "1495", "1544"],
        "Temp": ["38.6", "37.5", "38.1"],
        "Ward": ["5W", "7 North", "ED"],
        "Thermometer": ["TH-102", "TH-106", "TH-103"],
    }
    with pytest.raises(InputRefused, match=r"Temp.*at what time.*which heading holds the time"):
        recognise([profile(h, cells) for h, cells in table.items()])


def test_a_register_without_temperatures_stays_one():
    table = {
        "Asset": ["A1", "A2"],
        "Unit": ["C", "F"],
        "Ward": ["Larch", "Oak"],
        "Checked at (C)": ["37", "37"],
    }
    assert recognise([profile(h, cells) for h, cells in table.items()]) == "instruments"


def test_the_temperature_of_the_airway_is_breathing_gas():
    code = {"coding": [{"system": "http://loinc.org", "code": "60955-2"}]}
    observation = {
        "resourceType": "Observation", "status": "final", "code": code,
        "effectiveDateTime": "2026-03-07T10:00:00Z", "valueQuantity": {"value": 37.2, "code": "Cel"},
    }  # fmt: skip
    assert [row.reason for row in fhir_rows(observation)] == ["not-a-temperature"]
