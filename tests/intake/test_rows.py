"""Traps 5, 6, 8, 10, 11, 13, 14 and 15 at the level of single cells, and ages and remarks."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from browline.intake import (
    looks_shared,
    match_instrument,
    match_person,
    plain_ward,
    read_age,
    read_closed,
    read_identifier,
    read_note,
    read_site,
    read_tick,
    read_time,
    redacted_time,
    redacted_value,
    ward_suggestions,
)
from browline.quantities.sites import SITE_WORDS, SITES


@pytest.mark.parametrize(
    ("text", "site", "word"),
    [
        ("TA", "temporal", ""),
        ("Temporal Artery", "temporal", ""),
        ("forehead", "temporal", ""),
        ("TAT", "temporal", ""),
        ("tymp", "tympanic", ""),
        ("EAR", "tympanic", ""),
        ("behind the ear", "behind-ear", ""),
        ("Esophogeal", "oesophageal", ""),
        ("Axilliary", "axillary", ""),
        ("Oral (PO)", "oral", ""),
        ("Route: rectal", "rectal", ""),
        ("Temp - Tympanic", "tympanic", ""),
        ("tympanic thermometer", "tympanic", ""),
        ("forehead scanner", "temporal", ""),
        ("Core bladder probe", "bladder", ""),
        ("T", "unknown", "t"),
        ("temp", "unknown", "temp"),
        ("skin", "unknown", "skin"),
        ("", "unknown", ""),
        ("   ", "unknown", ""),
        ("oral/axillary", "unknown", "(more than one site)"),
        ("digital thermometer", "unknown", "digital thermometer"),
        ("Finch, Orla", "unknown", "(another word)"),
        ("4400123", "unknown", "(another word)"),
    ],
)
def test_trap_5_site_words(text, site, word) -> None:
    assert read_site(text) == (site, word)


def test_trap_5_every_word_of_the_vocabulary_means_its_site_in_any_case() -> None:
    for site, words in SITE_WORDS.items():
        for word in words:
            assert read_site(word.upper())[0] == site, word


@given(st.text(max_size=40))
def test_trap_5_any_text_gives_a_site_of_the_list(text) -> None:
    assert read_site(text)[0] in SITES


def test_trap_6_midnight_of_24_00_is_the_next_day() -> None:
    assert read_time("07/03/2026 24:00", "dmy").when == datetime(2026, 3, 8)
    assert read_time("07/03/2026 00:00", "dmy").when == datetime(2026, 3, 7)


@pytest.mark.parametrize(
    ("text", "flags"),
    [
        ("Entered in error", {"struck-out"}),
        ("ENTERED-IN-ERROR", {"struck-out"}),
        ("wrong patient", {"struck-out"}),
        ("voided", {"struck-out"}),
        ("corrected from 39.7", {"corrected"}),
        ("Re-check after 30 min", {"retake"}),
        ("rechecked, pt sweating", {"retake", "sweating"}),
        ("Refused oral", {"refused"}),
        ("not refused", set()),
        ("pt asleep", {"asleep"}),
        ("after hot drink", {"drink"}),
        ("seen by Dr Finch", set()),
        ("", set()),
        ("final", set()),
    ],
)
def test_trap_8_struck_out_and_corrected_versions_are_flagged(text, flags) -> None:
    assert read_note(text) == flags


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("36,5 C (ax)", "36,5 c (ax)"),
        ("98.6F Orla Finch", "98.6 f"),
        ("36.5 MRN 00451234", "36.5"),
        ("Pt refused", "refused"),
        ("37.46273462252315", "37.46273462252315"),
        ("ring 0171 496 0000", ""),
        ("36.5 443 761 02", "36.5"),
        ("9999", "9999"),
        ("LO", "lo"),
        ("-", ""),
        ("Mrs Quist 36.1", "36.1"),
        (">42", "> 42"),
    ],
)
def test_trap_10_of_an_original_cell_only_numbers_units_sites_and_error_words_stay(text, kept) -> None:
    assert redacted_value(text) == kept


@given(st.integers(10_000, 10**12), st.sampled_from(["Orla Finch", "Quist", "bed seven"]))
def test_trap_10_planted_identifiers_never_stay(number, name) -> None:
    kept = redacted_value(f"36.5 {number} {name} ax")
    assert kept == "36.5 ax"


def test_trap_10_of_an_original_time_no_word_stays() -> None:
    assert redacted_time("07/03/2026 24:00 Orla Finch") == "07/03/2026 24:00"
    assert redacted_time("7 Mar 2026 2:05 pm") == "7 Mar 2026 2:05 pm"


@pytest.mark.parametrize(
    ("text", "age"),
    [
        ("45", 45),
        ("90", 90),
        ("90+", 90),
        (">89", 90),
        ("103", 90),
        ("89", 89),
        ("89.5", 90),
        ("45y", 45),
        ("45 yrs", 45),
        ("3 mo", 0.25),
        ("6 months", 0.5),
        ("0", 0),
        ("2,5", 2.5),
        ("", None),
        ("adult", None),
        ("999", None),
        ("-1", None),
    ],
)
def test_trap_10_ages_above_89_are_90(text, age) -> None:
    assert read_age(text) == age


def test_ages_in_days_and_weeks() -> None:
    assert read_age("10 days") == pytest.approx(10 / 365.25) and read_age("2 wks") == pytest.approx(
        14 / 365.25
    )


class TestStaffIdentifiers:
    """Trap 11: leading zeros, spreadsheets' floats and scientific notation, shared log-ins."""

    def test_leading_zeros_stay(self) -> None:
        assert read_identifier(" 00417 ") == ("00417", None)

    def test_a_spreadsheets_float_is_mended_and_counted(self) -> None:
        assert read_identifier("417.0") == ("417", "identifier-float")

    def test_a_rounded_identifier_is_missing_not_merged(self) -> None:
        assert read_identifier("1.23457E+11") == ("", "identifier-rounded")
        assert read_identifier("12E45") == ("12E45", None)  # an identifier may look like this

    def test_lost_zeros_come_back_only_where_one_person_fits(self) -> None:
        assert match_person("417", ["00417", "00938"]) == ("00417", "leading-zeros")
        assert match_person("417", ["00417", "0417"]) == ("417", None)
        assert match_person("O0417", ["00417"]) == ("O0417", None)

    def test_zeros_within_an_identifier_tell_two_people_apart(self) -> None:
        for text, other in (("KILL10", "KILL010"), ("S0417", "S417"), ("A-07", "A-7")):
            assert match_person(text, [other]) == (text, None)

    def test_shared_log_ins_are_seen(self) -> None:
        assert looks_shared("Agency RN 3") and looks_shared("ward5w") and not looks_shared("00417")


@pytest.mark.parametrize("tick", ["yes", "Y", "1", "x", "X", "✓", "✔", "☑", "TRUE"])
def test_trap_13_ticks_are_yes(tick) -> None:
    assert read_tick(tick) is True
    assert read_closed("sessions", "outcome", tick) == "attended"


@pytest.mark.parametrize("cross", ["no", "N", "0", "✗", "DNA", "false"])
def test_trap_13_crosses_are_no(cross) -> None:
    assert read_tick(cross) is False


@pytest.mark.parametrize(
    ("kind", "name", "text", "choice"),
    [
        ("readings", "care", "ICU", "intensive"),
        ("readings", "care", "A&E", "emergency"),
        ("readings", "care", "ed", "emergency"),
        ("readings", "care", "Operating Room", "theatre"),
        ("readings", "care", "med-surg", "ward"),
        ("readings", "care", "zoo", None),
        ("instruments", "mode", "Arterial", "core"),
        ("instruments", "mode", "oral equiv.", "oral-equivalent"),
        ("instruments", "kind", "Temporal artery", "forehead-scan"),
        ("instruments", "kind", "tympanic", "ear"),
        ("cleanings", "part", "LENS", "lens"),
        ("cleanings", "part", "housing", "case"),
        ("checks", "mode", "unadjusted", "direct"),
        ("sessions", "outcome", "Signed off", "signed-off"),
        ("sessions", "outcome", "Not yet", "not-yet"),
        ("sessions", "outcome", "", None),
    ],
)
def test_words_of_closed_lists(kind, name, text, choice) -> None:
    assert read_closed(kind, name, text) == choice


class TestWardNames:
    """Trap 14: spaces and case mended; likely doubles suggested, never merged."""

    def test_spaces_and_case(self) -> None:
        assert {plain_ward(w) for w in ("5 West ", "5 WEST", " 5  west", "5\u00a0West")} == {"5 West"}
        assert plain_ward("icu") == "ICU" and plain_ward("5w") == "5W" and plain_ward("") == ""
        assert plain_ward("WARD OF THE NORTH") == "Ward of the North"

    @given(st.text(st.characters(codec="ascii"), max_size=20))
    def test_mending_twice_changes_nothing(self, text) -> None:
        assert plain_ward(plain_ward(text)) == plain_ward(text) == plain_ward(text.upper())

    def test_likely_doubles_are_suggested(self) -> None:
        assert ward_suggestions(["5W", "5 West", "5-West", "6 West", "Ward 6W", "Surgery", "ICU"]) == (
            ("5 West", "5-West", "5W"),
            ("Ward 6W", "6 West"),
        )

    def test_different_wards_are_not_suggested(self) -> None:
        assert ward_suggestions(["5 West", "5 East", "15 West", "5 West 2", "Medical A", "Medical B"]) == ()


class TestInstrumentNames:
    """Trap 15: O/0 and I/1 slips, only where exactly one entry of the register fits."""

    REGISTER = ("FS-07", "FS-11", "FS-O9", "EAR 3")

    def test_a_slip_with_one_match_is_mended_and_counted(self) -> None:
        assert match_instrument("FS-O7", self.REGISTER) == ("FS-07", "instrument-letter")
        assert match_instrument("FS-I1", self.REGISTER) == ("FS-11", "instrument-letter")
        assert match_instrument("fs07", self.REGISTER) == ("FS-07", "instrument-tidied")
        assert match_instrument("FS-7", self.REGISTER) == ("FS-07", "leading-zeros")

    def test_a_slip_with_two_matches_stays_as_charted(self) -> None:
        assert match_instrument("FS-0I", ("FS-01", "FS-OI")) == ("FS-0I", None)

    def test_an_exact_match_is_never_touched(self) -> None:
        assert match_instrument("FS-O7", ("FS-O7", "FS-07")) == ("FS-O7", None)
        assert match_instrument("FS-99", self.REGISTER) == ("FS-99", None)
        assert match_instrument("", self.REGISTER) == ("", None)
