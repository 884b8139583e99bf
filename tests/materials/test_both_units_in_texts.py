"""Temperatures inside texts: one number written, both units shown, the difference never through the offset."""

import doctest

import pytest

from browline.quantities import both_units as module
from browline.quantities.both_units import both_units


def test_the_examples_in_the_text_run():
    assert doctest.testmod(module).failed == 0


# Definition of the scales: F = 1.8 C + 32 for a value, 1.8 C for a difference.
@pytest.mark.parametrize(
    "written, shown",
    [
        ("{37.0}", "37.0 °C (98.6 °F)"),
        ("{38}", "38 °C (100.4 °F)"),
        ("{d 0.5}", "0.5 °C (0.9 °F)"),
        ("{d -0.19}", "−0.19 °C (−0.34 °F)"),
        ("{d 1}", "1 °C (1.8 °F)"),
        ("{-40}", "−40 °C (−40.0 °F)"),
        ("{fever}", "≥ 38.3 °C (100.9 °F)"),
        ("{name} and {}", "{name} and {}"),
    ],
)
def test_a_marked_number_is_shown_in_both_units(written, shown):
    assert both_units(written, fever_c=38.3) == shown


def test_the_unit_chosen_for_the_book_stands_first():
    assert both_units("{38.0}, {d 0.5}", "F") == "100.4 °F (38.0 °C), 0.9 °F (0.5 °C)"


def test_without_a_fever_line_its_mark_stays():
    assert both_units("{fever}") == "{fever}"
