"""The questions a class asks: all of them there, two sentences each, the trade beside the published figure."""

import doctest
import re

import pytest

from browline.controlled import checked
from browline.materials import errors, matching, pocket_card, questions
from browline.quantities.both_units import both_units

ROWS = checked(questions.LAYOUT, questions.default())["rows"]
BY_ID = {row["id"]: row for row in ROWS}
ASKED = {
    "forehead": "Why the forehead and not the temple",
    "neck": "Why the neck when",
    "differ": "differ from an oral or rectal",
    "high": "read high",
    "low": "read low",
    "wait": "How long do I wait",
    "bandage": "bandaged",
    "clean": "How do I clean",
    "battery": "Is it the battery",
    "hand": "Does a hand tell fever",
}


def test_the_examples_in_the_text_run():
    assert doctest.testmod(questions).failed == 0


@pytest.mark.parametrize("name, words", ASKED.items())
def test_what_a_class_asks_is_answered(name, words):
    assert words in BY_ID[name]["question"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_each_is_answered_in_two_sentences_with_trade_published_and_where_they_differ(row):
    assert len(re.findall(r"[.!?](?=\s|$)", row["answer"])) == 2
    assert row["apart"] and row["published"]
    assert row["published_source"] or row["published"].startswith("No published figure")
    if row["trade"]:
        assert row["trade_source"] == "common practice, no source"


# What the trade says (common practice, no source) and what is published (source beside).
FIGURES = [
    ("forehead", "trade", ["2 mm", "over bone"]),
    ("forehead", "published", ["1 mm", "1.24 mm"]),  # ultrasound 1993; depth from a secondary source
    ("neck", "trade", ["10 min", "sources disagree"]),
    ("neck", "published", ["0.39 °C", "0.22 °C"]),  # Low 2007, PubMed 17596768
    ("differ", "trade", ["0.5 °C (0.9 °F)", "37.4 °C (99.3 °F)", "37.0 °C (98.6 °F)"]),
    ("differ", "published", ["−0.19 °C", "−1.16 °C", "0.77 °C"]),  # Geijer 2016, PMC4823400
    ("differ", "published", ["37.04 °C", "36.57 °C"]),  # Geneva review 2019, PMC6456186, midpoints
    ("low", "published", ["−0.31 °C", "−0.90 °C"]),  # Geijer 2016 febrile; Stelfox 2010 at 38.3 and over
    ("high", "published", ["0.66 °C"]),  # Stelfox 2010, hypothermia
    ("wait", "trade", ["30 s", "1 min", "10 min"]),
    ("wait", "published", ["10 min", "15 min", "23", "30"]),  # 150 children; PubMed 11606822; thesis
    ("bandage", "trade", ["10 cm", "groin"]),
    ("clean", "trade", ["14 days", "lens damage"]),
    ("clean", "published", ["8 of 100", "6.8", "2.96", "15.6"]),  # ajic.2017.12.005; NEJM 2018;379:1322
    ("battery", "trade", ["15,000", "voltage limit"]),
    ("battery", "published", ["5,000 to 6,000"]),  # NICE costing for CG47
    ("hand", "trade", ["poor judge"]),
    ("hand", "published", ["87.5", "79.3 to 92.8", "54.6", "38.5 to 69.9"]),  # caregivers, 11 studies (Li)
    ("hand", "published", ["89.2", "50"]),  # mothers, 10 studies, Teng 2008
    ("two", "published", ["20 of 100", "0.53 °C"]),  # Lawson 2007; Pecoraro 2021
    ("rule-out", "published", ["72 of 100", "61 to 81", "94 of 100", "87 to 97"]),  # Geijer 2016
    ("normal", "published", ["36.8 °C", "37.2 °C", "37.7 °C", "0.23 °C"]),  # Mackowiak 1992; Geneva 2019
    ("children", "published", ["Under 4 weeks: armpit, electronic", "chemical forehead strips unreliable"]),
    ("skin-colour", "published", ["10.1", "13.2", "0.74", "0.61 to 0.90", "10.8", "10.2"]),  # Bhavani 2022
    ("not-taken", "published", ["36.0 °C", "11.3", "10.6 to 12.1"]),  # Jackson 2023
    ("lag", "published", ["0.8 °C", "60 and 90 min"]),  # Gagnon 2010; PubMed 15192635
    ("show", "published", ["37 of 100", "3 months", "14 after 12"]),  # resuscitation review, secondary
    ("evening", "published", ["2.5 times", "2.0 to 3.3"]),  # charted fevers by hour
]  # fmt: skip


@pytest.mark.parametrize("name, part, figures", FIGURES)
def test_figures_are_those_of_their_source(name, part, figures):
    said = both_units(BY_ID[name][part])
    for figure in figures:
        assert figure in said, figure


@pytest.mark.parametrize("name", ["forehead", "differ", "battery", "hand", "children", "bandage"])
def test_where_trade_and_print_disagree_it_says_so(name):
    assert re.search(r"disagree|opposite|another route", BY_ID[name]["apart"])


def test_the_guideline_is_not_made_to_name_what_it_does_not():
    assert "does not name the instrument" in BY_ID["children"]["apart"]
    assert "no infrared artery scanner" in BY_ID["children"]["answer"]


def test_words_are_found_in_any_order_and_any_part():
    assert "hand" in [row["id"] for row in matching(ROWS, "parent HOT")]
    assert matching(ROWS, "volt nonsense") == []
    assert matching(ROWS, "  ") == ROWS


@pytest.mark.parametrize("asked", ["difficile", "C diff", "c. DIFF", "C.diff", "Clostridioides difficile"])
def test_the_germ_is_found_by_the_names_nurses_use(asked):
    assert [row["id"] for row in matching(ROWS, asked)][:2] == ["clean", "cover"]


def test_with_fahrenheit_first_no_text_puts_celsius_first():
    for _, text in ALL_TEXTS:
        assert not re.search(r"°C \(", both_units(text, "F", fever_c=38.0)), text


ALL_TEXTS = [
    (layout.kind, str(value))
    for layout, body in (
        (questions.LAYOUT, questions.default()),
        (errors.LAYOUT, errors.default()),
        (pocket_card.LAYOUT, pocket_card.default()),
    )
    for row in body["rows"]
    for value in row.values()
]


def test_no_words_blame_or_call_a_value_invented():
    wrong = re.compile(r"\bfak|invent|cheat|lazy|careless|fault of|blam|failed\b", re.I)
    assert [text for _, text in ALL_TEXTS if wrong.search(text)] == []


def test_no_mark_of_a_temperature_is_left_when_shown():
    shown = [both_units(text, fever_c=38.0) for _, text in ALL_TEXTS]
    assert [text for text in shown if "{" in text] == []


# What nobody may miss in these answers, whichever words they are told in.
SAID = [
    ("bandage", ["awake", "by mouth", "injury", "burn", "operation", "never", "on its own", "escalate"]),
    ("clean", ["lens", "case", "this instrument’s own instructions", "hands", "infection prevention"]),
    ("forehead", ["close", "steadily", "instrument’s instructions"]),
]


@pytest.mark.parametrize("name, parts", SAID)
def test_what_nobody_may_miss_is_in_the_answer(name, parts):
    missing = [part for part in parts if part not in BY_ID[name]["answer"]]
    assert not missing


def test_why_the_forehead_is_told_without_a_number_or_a_comparison():
    assert not re.search(r"\d|\{|temple|than|better|best", BY_ID["forehead"]["answer"])


ERRORS = {row["id"]: row["words"] for row in errors.default()["rows"]}


@pytest.mark.parametrize(
    "name, parts",
    [
        ("early", ["hold it down"]),
        ("damp", ["dry", "settle", "instructions", "ill", "mouth", "at once", "escalate"]),
        ("lens", ["its own instructions", "check"]),
    ],
)
def test_words_to_a_colleague_are_short_and_say_what_to_do(name, parts):
    missing = [part for part in parts if part not in ERRORS[name]]
    assert not missing and len(re.findall(r"[.!?](?=[\s”])", ERRORS[name])) <= 2
