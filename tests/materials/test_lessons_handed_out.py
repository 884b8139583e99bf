"""The pocket card's lines and the common errors, as they come with the program."""

import pytest

from browline.controlled import checked
from browline.materials import errors, pocket_card

CARD = checked(pocket_card.LAYOUT, pocket_card.default())
ERRORS = {row["id"]: row for row in checked(errors.LAYOUT, errors.default())["rows"]}


def part(name):
    return [row for row in CARD["rows"] if row["part"] == name]


def says(name):
    return " ".join(row["says"] for row in part(name))


def test_every_part_of_the_card_has_lines():
    assert {row["part"] for row in CARD["rows"]} == set(pocket_card.PARTS)


def test_escalation_is_the_first_step():
    assert "Escalate first" in part("step")[0]["says"]


def test_the_fever_line_is_the_hospitals_and_a_lower_reading_rules_nothing_out():
    assert "{fever}" in says("fever") and "rules nothing out" in says("fever")


def test_no_temperature_is_typed_in_one_unit():
    for row in CARD["rows"]:
        assert "°" not in row["says"], row["id"]


def test_waits_of_the_trade_and_those_published():
    """30 s, 1 min, 10 min: common practice, no source. Cold 10 min and drink 15 to 30 min: published studies."""
    for wait in ("about 30 s", "about 1 min", "about 10 min", "at least 10 min indoors", "15 to 30 min"):
        assert wait in says("wait"), wait


def test_an_instrument_in_doubt_is_replaced_before_it_goes():
    (line,) = [row["says"] for row in part("doubt") if "tag" in row["says"]]
    assert line.index("bring a spare") < line.index("tag it") < line.index("send it for a check")


@pytest.mark.parametrize("step", ["start", "scan", "ear"])
def test_steps_that_depend_on_the_instrument_say_so(step):
    """Sources disagree on the touch behind the ear, so the instrument's instructions decide."""
    (row,) = [row for row in CARD["rows"] if row["id"] == step]
    assert row["by_instructions"]


def test_site_unit_and_not_taken_are_charted():
    assert "unit, site" in says("chart") and "Never add a degree" in says("chart")
    assert "not taken" in says("chart")


# Which way each error moves the reading: common practice, no source.
@pytest.mark.parametrize(
    "error, direction",
    [
        ("path", "low"), ("early", "low"), ("damp", "low"), ("repeat", "low"), ("lens", "low"), ("cold", "low"),
        ("covered", "high"), ("heat", "high"),
    ],
)  # fmt: skip
def test_an_error_says_which_way_it_moves_the_reading(error, direction):
    assert ERRORS[error]["direction"] == direction


@pytest.mark.parametrize("error", ["path", "early", "covered", "repeat"])
def test_a_size_that_nobody_has_published_is_not_made_up(error):
    assert ERRORS[error]["size"] == "Direction known, size not established."


@pytest.mark.parametrize("error", ERRORS)
def test_every_error_has_words_to_say_that_ask_something_back_or_show_the_way(error):
    assert ERRORS[error]["words"].startswith("“") and ERRORS[error]["why"]
