"""The months before and after sign-off: drawn where known, told in words and in the table."""

import pytest

import invented_model
from browline import figures
from browline.documents.model import AroundMonth
from documents import rows


def around_chart(months, **options):
    return figures.around_chart(rows(AroundMonth, months), **options)


@pytest.fixture(scope="module")
def months():
    return invented_model.around()["months"]


def test_the_sentence_says_before_and_after_and_what_is_compared(months):
    said = around_chart(months).sentence
    assert "before sign-off −0.02 °C to +0.01 °C, after it +0.09 °C to +0.15 °C" in said
    assert "against the month before sign-off and people not signed off" in said


def test_in_fahrenheit_differences_turn_by_their_factor(months):
    assert (
        "after it +0.16 °F to +0.27 °F" in around_chart(months, unit="F").sentence
    )  # 0.09 and 0.15 times 1.8


def test_the_table_holds_every_month_also_those_not_told(months):
    rows = {row[0]: row for row in around_chart(months).table.rows}
    assert len(rows) == len(months)
    assert rows["4 before"][3:] == ("–", "–", "–")
    assert rows["first month after"][3:] == ("+0.09 °C", "+0.03 °C", "+0.15 °C")


def test_few_people_are_withheld(months):
    few = [{**m, "people": 4} for m in months]
    assert {row[2] for row in around_chart(few).table.rows} == {"fewer than 10"}


def test_a_month_hardly_known_does_not_press_the_others_flat(months):
    wild = [{**m, "mean_c": 0.5, "low_c": -7.0, "high_c": 7.2} if m["month"] == -6 else m for m in months]
    figure = around_chart(wild)
    assert "off the scale: 6 or more before, +0.50 °C (−7.00 to +7.20 °C)" in figure.sentence
    assert "before sign-off −0.02 °C to +0.01 °C" in figure.sentence  # without that month
    assert ">5<" not in figure.svg  # no label of five degrees on the axis


def test_sign_off_is_marked_in_words(months):
    assert ">sign-off<" in around_chart(months).svg
