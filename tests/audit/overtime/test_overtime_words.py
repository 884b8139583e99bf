"""The examples in the descriptions run, and every outcome has its sentence."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

import browline.audit.overtime as overtime

MODULES = sorted(p.stem for p in Path(overtime.__file__).parent.glob("*.py") if p.stem != "__init__")
BLAME = ("fake", "invent", "false values", "fault of", "blame")


@pytest.mark.parametrize("module", MODULES)
def test_examples_run(module):
    assert doctest.testmod(import_module(f"browline.audit.overtime.{module}")).failed == 0


@pytest.mark.parametrize("outcome", [*overtime.Outcome, *overtime.FunnelPosition])
def test_every_outcome_has_a_sentence_that_blames_no_one(outcome):
    assert outcome.sentence.endswith(".")
    assert not any(word in outcome.sentence.lower() for word in BLAME)
