"""Headings and contents to columns: every export of the table is recognised and mapped as said."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from browline.columns import KINDS
from browline.errors import InputRefused
from browline.intake import (
    Keep,
    Mapping,
    Profile,
    from_toml,
    profile,
    propose,
    recognise,
    safe_heading,
    signature,
)

from .export_cases import EXPORTS, NAMES, Export


def profiles_of(table: dict[str, list[str]]) -> list[Profile]:
    return [profile(heading, cells) for heading, cells in table.items()]


@pytest.mark.parametrize("export", EXPORTS.values(), ids=EXPORTS)
def test_the_kind_is_recognised(export: Export) -> None:
    assert recognise(profiles_of(export.table)) == export.kind


@pytest.mark.parametrize("export", EXPORTS.values(), ids=EXPORTS)
def test_each_column_finds_its_heading(export: Export) -> None:
    guess = propose(export.kind, profiles_of(export.table))
    got = {n: h for n, h in guess.mapping.columns.items() if n != "method"}
    assert got == export.columns
    assert guess.mapping.unit == export.unit
    assert set(guess.reasons) == set(guess.mapping.columns)


def test_trap_10_names_births_and_free_text_stay_unmapped() -> None:
    table = EXPORTS["ward sheet with names and births"].table | {
        "Plan": ["ring the daughter about the new tablets " * 2] * 3
    }
    guess = propose("readings", profiles_of(table))
    assert set(guess.unmapped) >= {"Patient Name", "DOB", "Plan"}
    assert any("Patient Name" in doubt for doubt in guess.doubts)


def test_trap_10_a_patient_column_that_holds_names_is_not_taken() -> None:
    table = EXPORTS["date and time apart"].table | {"Patient": NAMES}
    assert "patient" not in propose("readings", profiles_of(table)).mapping.columns


def test_the_long_format_keeps_only_temperatures() -> None:
    guess = propose("readings", profiles_of(EXPORTS["long format with other vitals"].table))
    assert guess.mapping.keep == Keep("vital_name", ("Temp (F)",))


def test_the_long_format_may_say_the_unit_row_by_row() -> None:
    table = {
        "recorded": ["2026-03-07 10:00"] * 4,
        "vital": ["Temperature Fahrenheit", "Temperature Celsius", "Pulse", "Pulse"],
        "reading": ["98.6", "37.1", "80", "85"],
    }
    guess = propose("readings", profiles_of(table))
    assert (guess.mapping.unit, guess.mapping.columns["unit"]) == (None, "vital")
    assert guess.mapping.keep.words == ("Temperature Fahrenheit", "Temperature Celsius")


def test_a_date_order_that_the_sample_leaves_open_is_a_doubt_and_a_question() -> None:
    table = {"Time": ["03/04/2026 10:00", "05/04/2026 11:00"], "Temp": ["36.6", "36.9"]}
    guess = propose("readings", profiles_of(table))
    assert guess.mapping.date_order is None
    assert any("order" in doubt for doubt in guess.doubts)


def test_a_saved_mapping_is_followed_when_its_headings_are_there() -> None:
    table = EXPORTS["unit means ward"].table
    saved = Mapping("readings", {"time": "Obs time", "value": "T"}, unit="C", date_order="mdy")
    guess = propose("readings", profiles_of(table), saved)
    # All but the order of dates, which is each file's own: here the year stands first.
    assert guess.mapping == replace(saved, date_order="ymd") and set(guess.reasons.values()) == {"as saved"}
    other = Mapping("readings", {"time": "When", "value": "T"})
    assert propose("readings", profiles_of(table), other).mapping.columns["time"] == "Obs time"


def test_a_table_of_no_kind_is_refused_with_what_each_kind_needs() -> None:
    with pytest.raises(InputRefused) as refused:
        recognise(profiles_of({"Colour": ["red", "blue"], "Weight": ["81", "92"]}))
    assert all(kind in str(refused.value) for kind in KINDS)


def test_the_signature_forgives_case_spacing_and_order_only() -> None:
    assert signature(["Obs Time", "TEMP"]) == signature(["temp ", "obs_time"])
    assert signature(["Obs Time", "TEMP"]) != signature(["Obs Time", "TEMP", "Site"])


def test_trap_10_headings_that_look_like_data_are_not_kept() -> None:
    for heading in ("MRN 00451234", "2026-03-07 10:00", "36.6", "o.finch@example.org", "943 476 5919"):
        assert safe_heading(heading) == "(not kept)", heading
    assert safe_heading("Temp (°C) 2") == "Temp (°C) 2"


_TEXT = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30)


@given(
    columns=st.dictionaries(st.sampled_from(["time", "value", "site", "date", "value_c"]), _TEXT),
    unit=st.sampled_from([None, "C", "F"]),
    order=st.sampled_from([None, "ymd", "dmy", "mdy"]),
    zone=st.none() | _TEXT,
    keep=st.none() | st.builds(Keep, _TEXT, st.lists(_TEXT, max_size=3).map(tuple)),
    aliases=st.dictionaries(_TEXT, _TEXT, max_size=3),
)
def test_a_mapping_comes_back_from_its_toml(columns, unit, order, zone, keep, aliases) -> None:
    mapping = Mapping("readings", columns, unit, order, zone, keep, None, aliases)
    assert from_toml(mapping.as_toml()) == mapping


@pytest.mark.parametrize(
    "text",
    [
        "",
        "kind = ",
        'kind = "weights"',
        'kind = "readings"\n[columns]\nweight = "W"',
        'kind = "readings"\nunit = "K"',
        'kind = "readings"\nunit = 3',
        'kind = "readings"\n[keep]\nheading = 3',
        'kind = "readings"\ncolour = "red"',
        'kind = "readings"\ncolumns = 3',
        "kind = 3",
    ],
)
def test_a_broken_mapping_is_refused_in_words(text) -> None:
    with pytest.raises(InputRefused):
        from_toml(text)


def test_a_site_on_rows_of_its_own_is_told_and_the_unit_left_to_each_row() -> None:
    """Trap 5; the numbers of other vital signs must not vote on the unit of the temperatures."""
    table = {
        "FLO_MEAS_NAME": ["TEMPERATURE", "PULSE", "TEMP SOURCE"] * 3,
        "MEAS_VALUE": ["37.1", "98", "Oral"] * 3,
        "RECORDED_TIME": ["2026-03-07 10:05"] * 9,
    }
    guess = propose("readings", profiles_of(table))
    assert guess.mapping.keep == Keep("FLO_MEAS_NAME", ("TEMPERATURE",)) and guess.mapping.unit is None
    assert any("TEMP SOURCE" in doubt for doubt in guess.doubts)


def test_a_site_in_the_name_of_the_vital_sign_is_used_where_there_is_no_other() -> None:
    table = {
        "Vital": ["Temperature - Oral", "Temperature - Axillary", "Pulse"],
        "Result": ["37.1", "36.4", "80"],
        "Taken": ["2026-03-07 10:05"] * 3,
    }
    assert propose("readings", profiles_of(table)).mapping.site_fallback == "Vital"


def test_trap_10_a_person_id_of_a_research_table_is_the_patient_and_never_kept_as_staff() -> None:
    table = {
        "person_id": ["7"],
        "provider_id": ["3"],
        "measurement_datetime": ["2026-03-07 10:05"],
        "value_as_number": ["36.8"],
        "unit_concept_id": ["586323"],
    }
    mapping = propose("readings", profiles_of(table)).mapping
    assert (mapping.columns["patient"], mapping.columns["person"]) == ("person_id", "provider_id")
    assert "ward" not in mapping.columns


def test_of_two_headings_that_fit_the_more_usual_one_is_taken() -> None:
    table = EXPORTS["unit means ward"].table | {
        "Location": ["Bay 3", "Bay 4", "Bay 3"],
        "Ward": ["A1", "A2", "A1"],
    }
    assert propose("readings", profiles_of(table)).mapping.columns["ward"] == "Ward"


def test_a_ward_column_is_not_numbers_with_decimals_nor_long_texts() -> None:
    table = {
        "Obs time": ["2026-03-07 10:05"],
        "Temp": ["36.8"],
        "Ward": ["moved after the family had called twice about the noise"],
    }
    assert "ward" not in propose("readings", profiles_of(table)).mapping.columns
