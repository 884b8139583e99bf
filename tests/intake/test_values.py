"""Traps 1 to 4: units mixed and unsaid, both units at once, conversion, and words in place of numbers."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from browline.intake import REASONS, REPAIRS, read_unit, read_value, read_value_pair

TRAP_1 = [
    # text, declared unit, °C, unit charted, repairs
    ("37.0", "C", 37.0, "C", ()),
    ("98.6", "F", 37.0, "F", ()),
    ("37.0", None, 37.0, "C", ("unit-by-range",)),
    ("98.6", None, 37.0, "F", ("unit-by-range",)),
    ("97.2", "C", 36.2222, "F", ("unit-put-right",)),
    ("37.0", "F", 37.0, "C", ("unit-put-right",)),
    ("36,6", "C", 36.6, "C", ("decimal-comma",)),
    ("366", "C", 36.6, "C", ("lost-point",)),
    ("366", None, 36.6, "C", ("lost-point", "unit-by-range")),
    ("986", None, 37.0, "F", ("lost-point", "unit-by-range")),
    ("1004", "F", 38.0, "F", ("lost-point",)),
    ("986", "C", 37.0, "F", ("lost-point", "unit-put-right")),
    ("98.6F", None, 37.0, "F", ("text-beside-number",)),
    ("98.6F", "C", 37.0, "F", ("text-beside-number",)),
    ("T 37.1 C", None, 37.1, "C", ("text-beside-number",)),
    ("37.1 °C", "F", 37.1, "C", ("text-beside-number",)),
    ("37.1Â°C", "C", 37.1, "C", ("text-beside-number",)),
    ("37.1\ufffdC", "C", 37.1, "C", ("text-beside-number",)),
    ("+37.1", "C", 37.1, "C", ()),
    ("37.46273462252315", "C", 37.46273462252315, "C", ()),
    ("36.5*", "C", 36.5, "C", ()),
]


@pytest.mark.parametrize(("text", "declared", "celsius", "unit", "repairs"), TRAP_1)
def test_trap_1_unit_by_text_then_declared_then_range(text, declared, celsius, unit, repairs) -> None:
    read = read_value(text, declared)
    assert read.celsius == pytest.approx(celsius, abs=1e-4)
    assert (read.unit, read.repairs, read.reason) == (unit, repairs, None)


@pytest.mark.parametrize("number", [45.1, 50, 60, 70, 76.9])
def test_trap_1_nothing_is_guessed_in_the_gap(number) -> None:
    assert read_value(str(number)).reason == "unit-unknown"
    assert read_value(str(number), "C").reason == read_value(str(number), "F").reason == "implausible"


@pytest.mark.parametrize("number", ["24.9", "113.1", "150", "-37", "4.5e10", "1e999", "120/80"])
def test_trap_1_impossible_numbers_are_set_aside(number) -> None:
    for declared in ("C", "F", None):
        assert read_value(number, declared).reason in ("implausible", "two-numbers", "no-number")


def test_trap_1_a_lost_point_is_restored_only_where_one_unit_fits() -> None:
    assert read_value("500").reason == "implausible" or read_value("500").reason == "unit-unknown"
    assert read_value("36.6").repairs == ("unit-by-range",)
    assert read_value("200").celsius is None


def test_trap_2_both_units_give_one_reading() -> None:
    one = read_value_pair("37.0", "98.6")
    assert (one.celsius, one.unit, one.repairs, one.reason) == (37.0, "C", (), None)


@pytest.mark.parametrize("tenths", range(350, 421))
def test_trap_2_rounding_in_either_direction_is_no_disagreement(tenths) -> None:
    celsius = tenths / 10
    assert read_value_pair(f"{celsius:.1f}", f"{celsius * 1.8 + 32:.1f}").reason is None
    fahrenheit = 95 + (tenths - 350) / 10 * 1.8
    assert read_value_pair(f"{(fahrenheit - 32) / 1.8:.1f}", f"{fahrenheit:.1f}").reason is None


def test_trap_2_disagreement_and_half_a_pair() -> None:
    assert read_value_pair("37.0", "99.0").reason == "units-disagree"
    assert read_value_pair("", "98.6").celsius == pytest.approx(37.0)
    assert read_value_pair("", "98.6").repairs == ()
    assert read_value_pair("err", "98.6").repairs == ("one-of-two-units",)
    assert read_value_pair("", "refused").reason == "refused"
    assert read_value_pair("", "").reason == "no-value"
    swapped = read_value_pair("98.6", "98.6")  # the Fahrenheit number copied into both columns
    assert (swapped.celsius, swapped.unit) == (pytest.approx(37.0), "F")


def test_trap_3_the_unit_charted_is_kept_and_nothing_is_rounded() -> None:
    """The lattice of converted values can be judged only if the number and unit charted survive."""
    read = read_value("98.7", "F")
    assert (read.number, read.unit) == (98.7, "F")
    assert read.celsius == pytest.approx((98.7 - 32) * 5 / 9, abs=1e-12)
    assert not math.isclose(read.celsius, round(read.celsius, 1), abs_tol=1e-6)


TRAP_4 = {
    "LO": "reads-lo",
    "Low": "reads-lo",
    "HI": "reads-hi",
    ">42": "reads-hi",
    "< 34": "reads-lo",
    "Err": "reads-err",
    "ERR 2": "reads-err",
    "E1": "reads-err",
    "error": "reads-err",
    "refused": "refused",
    "Pt. declined": "refused",
    "asleep": "asleep",
    "off ward": "off-ward",
    "N/A": "not-done",
    "unable": "not-done",
    "-": "dash",
    "—": "dash",
    "": "no-value",
    "   ": "no-value",
    "0": "zero",
    "0.0": "zero",
    "999": "placeholder",
    "-1": "placeholder",
    "9999": "placeholder",
    "#REF!": "sheet-error",
    "#N/A": "sheet-error",
    "310 K": "unit-not-accepted",
    "38.1 37.2": "two-numbers",
    "bed 36": "words-beside-number",
    "36.5 Smith": "words-beside-number",
    "hello": "no-number",
    "36.5.1": "two-numbers",
    "refused 36.5": "refused",
}


@pytest.mark.parametrize(("text", "reason"), TRAP_4.items())
def test_trap_4_words_instead_of_numbers_are_facts_about_practice(text, reason) -> None:
    read = read_value(text, "C")
    assert (read.celsius, read.reason) == (None, reason)


@pytest.mark.parametrize(
    ("text", "site"),
    [
        ("36.5 (ax)", "axillary"),
        ("36.5 po", "oral"),
        ("TA 36.5", "temporal"),
        ("36.5 C tymp", "tympanic"),
        ("36.5", None),
        ("36.5 A", "unknown"),
        ("T 36.5", None),
    ],
)
def test_trap_4_a_site_beside_the_number_is_read(text, site) -> None:
    read = read_value(text, "C")
    assert (read.celsius, read.site) == (36.5, site)


def test_a_word_about_practice_beside_a_number_is_reported_with_the_reading() -> None:
    read = read_value("36.5 asleep", "C")
    assert (read.celsius, read.word) == (36.5, "asleep")


@given(
    st.text(max_size=30)
    | st.from_regex(r"[A-Z ]{0,4}-?\d{1,5}([.,]\d{0,4})?[ °A-Za-z()]{0,6}", fullmatch=True),
    st.sampled_from(["C", "F", None]),
)
def test_no_text_ever_gives_a_temperature_outside_25_to_45(text, declared) -> None:
    read = read_value(text, declared)
    assert (read.celsius is None) == (read.reason is not None)
    assert read.celsius is None or 25 <= read.celsius <= 45
    assert read.reason is None or read.reason in REASONS
    assert set(read.repairs) <= set(REPAIRS)


@given(st.floats(34, 42).map(lambda c: round(c, 1)), st.sampled_from(["C", "F", None]))
def test_a_body_temperature_written_in_either_unit_comes_back(celsius, declared) -> None:
    assert read_value(f"{celsius}", declared).celsius == pytest.approx(celsius)
    fahrenheit = celsius * 1.8 + 32
    assert read_value(f"{fahrenheit:.4f}", declared).celsius == pytest.approx(celsius, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("Temp (°F)", "F"),
        ("temp_c", "C"),
        ("Temperature Fahrenheit", "F"),
        ("deg C", "C"),
        ("[degF]", "F"),
        ("Cel", "C"),
        ("TempF", "F"),
        ("C/F", None),
        ("Site", None),
        ("5 West", None),
        ("", None),
        ("Temp. in °C", "C"),
    ],
)
def test_units_in_words(text, unit) -> None:
    assert read_unit(text) == unit


@pytest.mark.parametrize("number", [-1, -9, -99, -999, 888, 999, 999.9, 9999, 9999.9, 99999])
def test_trap_4_placeholders_of_common_systems(number) -> None:
    """Common practice, no source; 99 and 99.9 are left out because they are temperatures in Fahrenheit."""
    assert read_value(str(number)).reason == "placeholder"
    assert read_value("99.9").unit == read_value("99").unit == "F"
