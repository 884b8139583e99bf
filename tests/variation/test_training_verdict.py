"""The verdict's rules, one by one, and their words."""

import re
from dataclasses import replace

import pytest

from browline.variation.training.level import Level
from browline.variation.training.permutation import Orders
from browline.variation.training.spreads import Convergence
from browline.variation.training.verdict import BESIDE, Evidence, Hoped, Verdict, judged, verdict_on


class Found:
    """A search for the spreads that ended so."""

    def __init__(self, outcome):
        self.outcome = outcome


def evidence(
    low, high, wards=20, p=None, compared=5, orders=720, hoped=Hoped.UP, outcome=Convergence.CONVERGED
):
    found = Level((low + high) / 2, (high - low) / 4, low, high, 0.05, 0.7, 0.03, Found(outcome))
    tried = None if p == "not made" else Orders(p, orders, orders)
    return Evidence(found, tried, compared, 9, wards, 40, hoped)


@pytest.mark.parametrize(
    "given, verdict",
    [
        (evidence(0.02, 0.2), Verdict.AS_HOPED),
        (evidence(-0.2, -0.02), Verdict.WRONG_WAY),
        (evidence(-0.2, -0.02, hoped=Hoped.DOWN), Verdict.AS_HOPED),
        (evidence(0.02, 0.2, hoped=Hoped.DOWN), Verdict.WRONG_WAY),
        (evidence(-0.05, 0.08), Verdict.NO_CHANGE),
        (evidence(-0.05, 0.11), Verdict.CANNOT_TELL),
        (evidence(-0.11, 0.05), Verdict.CANNOT_TELL),
        (evidence(0.02, 0.2, compared=0), Verdict.CANNOT_TELL),
        (evidence(-0.05, 0.08, compared=0), Verdict.CANNOT_TELL),
        (evidence(0.02, 0.2, wards=11, p=0.04), Verdict.AS_HOPED),
        (evidence(0.02, 0.2, wards=11, p=0.06), Verdict.CANNOT_TELL),
        (evidence(0.02, 0.2, wards=3, p=None, orders=6), Verdict.CANNOT_TELL),
        (evidence(0.02, 0.2, wards=11, p="not made"), Verdict.CANNOT_TELL),
        (evidence(0.02, 0.2, wards=12, p=0.5), Verdict.AS_HOPED),
        (evidence(-0.05, 0.08, wards=6, p=0.5), Verdict.NO_CHANGE),
        (evidence(0.02, 0.09, wards=6, p=0.5), Verdict.NO_CHANGE),
        (evidence(0.02, 0.2, outcome=Convergence.STEPS), Verdict.CANNOT_TELL),
    ],
)
def test_rules(given, verdict):
    assert verdict_on(given) is verdict


def test_the_verdicts_are_the_contract_s():
    assert {v.value for v in Verdict} == {
        "changed-as-hoped",
        "no-change-seen",
        "changed-the-wrong-way",
        "cannot-tell",
    }


def test_no_figures_are_shown_without_anybody_to_compare_with():
    told = judged(evidence(0.02, 0.2, compared=0))
    assert (told.effect_c, told.low_c, told.high_c) == (None, None, None)
    assert "°C higher" not in told.sentence


def test_the_sentence_carries_effect_interval_and_comparator():
    told = judged(evidence(0.02, 0.2, wards=6, p=0.03))
    assert "0.11 °C higher" in told.sentence and "+0.02 to +0.20" in told.sentence
    assert told.comparator in told.sentence
    assert told.permutation_p == 0.03
    assert any("3.0 % of 720" in line for line in told.why)


def test_every_verdict_has_a_sentence_and_advice_and_no_word_of_blame():
    for verdict in Verdict:
        assert verdict.sentence.endswith(".") and verdict.advice.endswith(".")
        assert not re.search("blame|fault|fail|fake|poor", verdict.sentence + verdict.advice)
    assert any("not a random sample" in line for line in BESIDE)
    assert any("practice, not accuracy" in line for line in BESIDE)
    assert any("blinded re-reads" in line for line in BESIDE)


def test_few_orders_are_said():
    told = judged(replace(evidence(0.02, 0.2, wards=3, p=None, orders=6)))
    assert any("Only 6 orders" in line for line in told.why)
