"""The words of every number, date and probability: the examples in the text run."""

import doctest
from importlib import import_module

import pytest


@pytest.mark.parametrize("part", ["dates", "numbers", "probabilities", "temperatures"])
def test_the_examples_in_the_text_run(part):
    ran = doctest.testmod(import_module(f"browline.display.{part}"))
    assert ran.failed == 0 < ran.attempted
